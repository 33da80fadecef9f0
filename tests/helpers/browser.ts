import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll } from 'vitest';
import type { Role } from '../../core/protocol/index.ts';
import type { DemoReview } from '../../demo-data/types.ts';
import { projectRoot } from '../../server/paths.ts';
import { type Served, type ServeOptions, serve } from '../../server/serve.ts';
import { findBrowser, HOW_TO_GET_A_BROWSER } from './find-browser.mjs';
import { SMALL_REVIEW } from './small-review.ts';

const ARGS = [
  '--no-sandbox',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
  // The elevation needs WebGL; this draws it without a graphics card.
  '--use-angle=swiftshader',
  '--enable-unsafe-swiftshader',
  '--ignore-gpu-blocklist',
];

/** Starts the browser of this machine. Throws with one line on how to get one. */
export async function launchBrowser(): Promise<Browser> {
  const executablePath = findBrowser();
  if (executablePath === null) throw new Error(HOW_TO_GET_A_BROWSER);
  return chromium.launch({ executablePath, args: ARGS });
}

/** A server with data of its own, which can be stopped and started again on the same port. */
export class TestServer {
  /** The folder of its data. */
  readonly data = mkdtempSync(join(tmpdir(), 'counterlean-browser-'));
  readonly #demo: DemoReview;
  #served: Served | null = null;
  #links: Served['links'] = null;
  readonly #settings: Partial<ServeOptions>;
  #port: number;

  constructor(demo: DemoReview = SMALL_REVIEW, settings: Partial<ServeOptions> = {}) {
    this.#demo = demo;
    this.#settings = settings;
    this.#port = settings.port ?? 0;
    if (!existsSync(join(projectRoot(), 'dist', 'web', 'index.html'))) {
      throw new Error('the page is not built: npm run build');
    }
  }

  /** Lines that the server logged as problems. */
  readonly problems: string[] = [];

  async start(): Promise<void> {
    this.#served = await serve({
      ...this.#settings,
      data: this.data,
      port: this.#port,
      demo: () => Promise.resolve(this.#demo),
      log: {
        info: () => undefined,
        request: () => undefined,
        problem: (text, cause) => this.problems.push(`${text} ${cause ?? ''}`),
      },
    });
    this.#port = this.#served.port;
    this.#links ??= this.#served.links;
  }

  async stop(): Promise<void> {
    await this.#served?.close();
    this.#served = null;
  }

  /** Stops and removes its data. */
  async remove(): Promise<void> {
    await this.stop();
    rmSync(this.data, { recursive: true, force: true });
  }

  get url(): string {
    return `http://127.0.0.1:${this.#port}`;
  }

  link(role: Role): string {
    if (this.#links === null) throw new Error('the server has not started yet');
    return this.#links[role];
  }
}

/** A person at a window: a context of their own with one page. */
export interface Window {
  readonly context: BrowserContext;
  readonly page: Page;
  /** Errors that the page threw or logged, and addresses that failed. */
  readonly faults: string[];
}

export interface WindowOptions {
  readonly width?: number;
  readonly height?: number;
  readonly dark?: boolean;
}

/** Opens a window of its own, joined by a link, on the board. */
export async function openWindow(
  browser: Browser,
  link: string,
  { width = 1440, height = 900, dark = false }: WindowOptions = {},
): Promise<Window> {
  const context = await browser.newContext({
    viewport: { width, height },
    colorScheme: dark ? 'dark' : 'light',
    reducedMotion: 'reduce',
  });
  const page = await context.newPage();
  page.setDefaultTimeout(20_000);
  const faults: string[] = [];
  page.on('pageerror', (error) => faults.push(String(error)));
  page.on('console', (message) => {
    // A server that is down on purpose makes the browser complain about every try to come back.
    const retry = /ERR_CONNECTION_REFUSED|ERR_SOCKET|WebSocket connection to/.test(message.text());
    if (message.type() === 'error' && !retry) {
      faults.push(`${message.text()} ${message.location().url}`);
    }
  });
  await page.goto(link);
  await page.waitForURL('**/r/demo');
  await page.locator('cl-sequence-row').first().waitFor();
  return { context, page, faults };
}

/**
 * A server and a browser for the tests of a file: there before its own `beforeAll`, gone after its own
 * `afterAll`. Parameters as of TestServer.
 */
export function testWindows(...review: ConstructorParameters<typeof TestServer>) {
  const server = new TestServer(...review);
  let launched: Browser | undefined;
  beforeAll(async () => {
    await server.start();
    launched = await launchBrowser();
  });
  afterAll(async () => {
    await launched?.close();
    await server.remove();
  });
  const browser = (): Browser => {
    if (launched === undefined) throw new Error('the browser is not there before the tests begin');
    return launched;
  };
  return {
    server,
    browser,
    /** A window of somebody with a role, on the board. */
    open: (role: Role, options?: WindowOptions): Promise<Window> =>
      openWindow(browser(), server.link(role), options),
  };
}

/** The card of a shot by its code. */
export const card = (page: Page, code: string) =>
  page
    .locator('cl-shot-card')
    .filter({ has: page.getByRole('article', { name: `Shot ${code}`, exact: true }) });

/** Gives a shot another code, as a person does it on the board. */
export async function renameShot(page: Page, code: string, to: string): Promise<void> {
  const shot = card(page, code);
  await shot.getByRole('button', { name: `Change ${code}` }).click();
  await shot.getByLabel('Code').fill(to);
  await shot.getByRole('button', { name: 'Rename' }).click();
}

/** Waits until the page says that everything is on the server's disk. */
export async function saved(page: Page): Promise<void> {
  await page
    .locator('cl-top-bar')
    .getByRole('status')
    .getByText('saved', { exact: true })
    .waitFor();
}

/** Name or text of the focused thing, through shadow roots. */
export const focusedText = (page: Page): Promise<string> =>
  page.evaluate(() => {
    let element: Element | null = document.activeElement;
    while (element?.shadowRoot?.activeElement) element = element.shadowRoot.activeElement;
    return element?.getAttribute('aria-label') ?? element?.textContent?.trim() ?? '';
  });

/** Opens a leaf of the column beside the drawing by its word, e.g. "Pose". */
export async function openLeaf(page: Page, word: string): Promise<void> {
  const tab = page.locator('cl-ledger').getByRole('tab', { name: word });
  await tab.click();
  await page.locator('cl-ledger').getByRole('tabpanel', { name: word }).waitFor();
}
