import { describe, expect, it, onTestFinished } from 'vitest';
import { startProvider } from '../helpers/open-id-provider.mjs';
import { startServer, type TestServer } from '../helpers/served.ts';
import { ShiftedClock } from '../helpers/shifted-clock.ts';

// The provider is oidc-provider, certified by the OpenID Foundation (openid.net/certification).

const PUBLIC_URL = 'https://lean.example';
const CLIENT = {
  clientId: 'counterlean-test',
  clientSecret: 'a-client-secret-of-the-test',
  redirectUri: `${PUBLIC_URL}/sign-in/callback`,
};

/** The part of a browser that signing in needs: cookies for each site, redirects, forms. */
class Browser {
  readonly #jars = new Map<string, Map<string, string>>();
  readonly #server: TestServer;
  /** Addresses that it went to on our server. */
  readonly visited: string[] = [];

  constructor(server: TestServer) {
    this.#server = server;
  }

  cookies(origin = PUBLIC_URL): string {
    const jar = this.#jars.get(origin) ?? new Map<string, string>();
    return [...jar].map(([name, value]) => `${name}=${value}`).join('; ');
  }

  forgetAllBut(origin: string): void {
    for (const other of this.#jars.keys()) if (other !== origin) this.#jars.delete(other);
  }

  /** One request, with the cookies that a browser would send. `fromOutside`: Strict ones stay away. */
  async ask(address: string, form?: URLSearchParams, fromOutside = false): Promise<Response> {
    const { origin, pathname, search } = new URL(address);
    const isOurs = origin === PUBLIC_URL;
    if (isOurs) this.visited.push(pathname + search);
    const target = isOurs ? `http://127.0.0.1:${this.#server.port}${pathname}${search}` : address;
    const cookie = this.cookies(origin)
      .split('; ')
      .filter((each) => !fromOutside || !each.startsWith('__Host-counterlean='))
      .join('; ');
    const response = await fetch(target, {
      redirect: 'manual',
      headers: { cookie, accept: 'text/html' },
      ...(form === undefined ? {} : { method: 'POST', body: form }),
    });
    const jar = this.#jars.get(origin) ?? new Map<string, string>();
    this.#jars.set(origin, jar);
    for (const line of response.headers.getSetCookie()) {
      const [pair = '', ...attributes] = line.split(/; ?/);
      const name = pair.slice(0, pair.indexOf('='));
      const isOver = attributes.some((each) => /^max-age=0$|^expires=.*1970/i.test(each));
      if (isOver) jar.delete(name);
      else jar.set(name, pair.slice(name.length + 1));
    }
    return response;
  }

  /** Follows redirects and pages that go on, and signs in where the provider asks. */
  async visit(address: string, name: string): Promise<{ response: Response; address: string }> {
    let at = address;
    let form: URLSearchParams | undefined;
    let fromOutside = false;
    for (let step = 0; step < 25; step++) {
      const response = await this.ask(at, form, fromOutside);
      form = undefined;
      const onward = response.headers.get('location');
      if (onward !== null) {
        const next = new URL(onward, at);
        fromOutside =
          next.origin === PUBLIC_URL && (fromOutside || new URL(at).origin !== PUBLIC_URL);
        at = next.href;
        continue;
      }
      const page = await response.clone().text();
      const refresh = /http-equiv="refresh" content="0;url=([^"]+)"/.exec(page)?.[1];
      if (refresh !== undefined) {
        at = new URL(refresh, at).href;
        fromOutside = false;
        continue;
      }
      const prompt = /name="prompt" value="(\w+)"/.exec(page)?.[1];
      const action = /<form[^>]*action="([^"]+)"/.exec(page)?.[1];
      if (prompt === undefined || action === undefined) return { response, address: at };
      at = new URL(action, at).href;
      form = new URLSearchParams({ prompt, login: name, password: 'any' });
    }
    throw new Error(`too many steps from ${address}`);
  }

  async me(): Promise<{ id: string; name: string; role: string } | null> {
    const response = await this.ask(`${PUBLIC_URL}/api/reviews/demo/me`);
    if (!response.ok) return null;
    return ((await response.json()) as { person: { id: string; name: string; role: string } })
      .person;
  }
}

async function start(settings: { only?: boolean; clock?: ShiftedClock } = {}): Promise<TestServer> {
  const { only = false, clock } = settings;
  const provider = await startProvider(CLIENT);
  onTestFinished(() => provider.close());
  const { clientId, clientSecret } = CLIENT;
  return startServer({
    publicUrl: PUBLIC_URL,
    open: false,
    openId: { issuer: provider.issuer, clientId, clientSecret, only },
    ...(clock === undefined ? {} : { clock }),
  });
}

describe('sign-in with a provider', () => {
  it('lets an invite link open only for who has signed in, and leads back to the review', async () => {
    const server = await start({ only: true });
    const browser = new Browser(server);
    const { address } = await browser.visit(server.links!.animator, 'Ines Vale');
    expect(address).toBe(`${PUBLIC_URL}/r/demo`);
    expect(await browser.me()).toMatchObject({ role: 'animator', name: 'Ines Vale' });
    // A program without a browser cannot.
    const path = new URL(server.links!.guest).pathname;
    const bare = await fetch(`http://127.0.0.1:${server.port}${path}`, { redirect: 'manual' });
    expect(bare.status).toBe(401);
    expect(bare.headers.get('set-cookie')).toBeNull();
  });

  it('makes somebody the same person in another browser', async () => {
    const server = await start({ only: true });
    const [desk, home, other] = [new Browser(server), new Browser(server), new Browser(server)];
    await desk.visit(server.links!.animator, 'Ines Vale');
    await home.visit(`${PUBLIC_URL}/sign-in`, 'Ines Vale');
    expect(await home.me()).toEqual(await desk.me());
    await other.visit(`${PUBLIC_URL}/sign-in`, 'Bo Marl');
    expect(await other.me()).toBeNull();
  });

  it('keeps somebody who joined before who they were', async () => {
    const server = await start();
    const browser = new Browser(server);
    await browser.visit(server.links!.reviewer, 'nobody asks yet');
    const before = await browser.me();
    await browser.visit(`${PUBLIC_URL}/sign-in`, 'Ines Vale');
    expect(await browser.me()).toEqual(before);
    const home = new Browser(server);
    await home.visit(`${PUBLIC_URL}/sign-in`, 'Ines Vale');
    expect(await home.me()).toEqual(before);
  });

  it('does not let two people of one browser become one', async () => {
    const server = await start();
    const browser = new Browser(server);
    await browser.visit(server.links!.reviewer, '-');
    const { address } = await browser.visit(`${PUBLIC_URL}/sign-in`, 'Ines Vale');
    expect(address).toBe(`${PUBLIC_URL}/r/demo`);
    expect((await browser.me())?.role).toBe('reviewer');
    // Ines leaves the desk: at the provider Bo signs in, here the browser still has Ines's cookie.
    browser.forgetAllBut(PUBLIC_URL);
    await browser.visit(`${PUBLIC_URL}/sign-in`, 'Bo Marl');
    expect(await browser.me()).toBeNull();
  });

  it('gives out nothing for an answer that belongs to another browser, or is used again', async () => {
    const server = await start();
    const browser = new Browser(server);
    const begun = await browser.ask(`${PUBLIC_URL}/sign-in`);
    const address = begun.headers.get('location') ?? '';
    expect(new URL(address).searchParams.get('code_challenge_method')).toBe('S256');
    const victim = new Browser(server);
    // Login CSRF: somebody else's code, put under a victim's nose.
    const state = new URL(address).searchParams.get('state') ?? '';
    const stolen = `${PUBLIC_URL}/sign-in/callback?code=anything&state=${state}`;
    const refused = await victim.ask(stolen, undefined, true);
    expect(refused.status).toBe(403);
    expect(victim.cookies()).toBe('');
    // The right browser with a code that the provider never gave.
    const made = await browser.ask(stolen, undefined, true);
    expect(made.status).toBe(403);
    await browser.visit(`${PUBLIC_URL}/sign-in`, 'Ines Vale');
    const callback = browser.visited.filter((each) => each.includes('callback?')).at(-1) ?? '';
    const again = await new Browser(server).ask(PUBLIC_URL + callback, undefined, true);
    expect(again.status).toBe(403);
  });

  it('has to be finished within ten minutes', async () => {
    const clock = new ShiftedClock();
    const server = await start({ clock });
    const browser = new Browser(server);
    const begun = await browser.ask(`${PUBLIC_URL}/sign-in`);
    clock.add(10 * 60 * 1000);
    const state = new URL(begun.headers.get('location') ?? '').searchParams.get('state') ?? '';
    const late = await browser.ask(`${PUBLIC_URL}/sign-in/callback?code=x&state=${state}`);
    expect(late.status).toBe(403);
  });

  it('is not there when the settings name no provider', async () => {
    const server = await startServer();
    expect((await fetch(`${server.url}/sign-in`)).status).toBe(404);
  });
});
