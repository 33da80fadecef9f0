/** What stands under the sentence of a short page. */
interface Under {
  /** Address of our own that the page goes on to at once. */
  readonly onward?: string;
  /** Whether to offer signing in. */
  readonly signIn?: boolean;
}

/** A short page with one sentence. Takes no text of other people. */
export function noticePage(sentence: string, { onward, signIn = false }: Under = {}): string {
  const head = onward === undefined ? '' : `<meta http-equiv="refresh" content="0;url=${onward}">`;
  const link = onward === undefined ? '' : `<p><a href="${onward}">Go on</a></p>`;
  const door = signIn ? '<p><a href="/sign-in">Sign in</a></p>' : '';
  return page(head, `<p>${sentence}</p>\n${link}${door}`);
}

/** Asks for the passphrase of an invite link. */
export function passphrasePage({ isWrong }: { readonly isWrong: boolean }): string {
  const sentence = isWrong
    ? 'That is not the passphrase. Try again, or ask the lead who sent you the link.'
    : 'This link has a passphrase. The lead who sent you the link knows it.';
  return page(
    '',
    `<p>${sentence}</p>
<form method="post" action="?here">
<p><label>Passphrase <input name="passphrase" type="password" required autofocus
  autocomplete="off" maxlength="200"></label></p>
<p><button>Open the review</button></p>
</form>`,
  );
}

function page(head: string, body: string): string {
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width">
<title>Counterlean</title>
${head}
</head>
<body>
<main>
<h1>Counterlean</h1>
${body}
</main>
</body>
</html>
`;
}
