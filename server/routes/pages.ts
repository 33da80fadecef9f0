/** A short page with one sentence; `onward` goes on from it at once. Takes no foreign text. */
export function noticePage(sentence: string, { onward }: { onward?: string } = {}): string {
  const refresh =
    onward === undefined ? '' : `<meta http-equiv="refresh" content="0;url=${onward}">`;
  const link = onward === undefined ? '' : `<p><a href="${onward}">Go on</a></p>`;
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width">
<title>Counterlean</title>
${refresh}
</head>
<body>
<main>
<h1>Counterlean</h1>
<p>${sentence}</p>
${link}
</main>
</body>
</html>
`;
}
