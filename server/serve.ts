import { existsSync, mkdirSync } from 'node:fs';
import type { Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import { createAdaptorServer } from '@hono/node-server';
import type { Database } from 'better-sqlite3';
import { readKeys } from '../core/document/keys.ts';
import { draftEntries, readDraft } from '../core/document/scenes.ts';
import type { Role } from '../core/protocol/roles.ts';
import type { DemoReview } from '../demo-data/types.ts';
import { Limits } from './access/limits.ts';
import { Members } from './access/members.ts';
import { OpenIdDoor } from './access/open-id.ts';
import { isLoopbackName, type Reach } from './access/origin.ts';
import { makeCapability, secretIn } from './access/secrets.ts';
import { Sessions } from './access/sessions.ts';
import { createApp } from './app.ts';
import { Caller } from './calls/caller.ts';
import { Clips } from './clips.ts';
import { type Clock, systemClock } from './clock.ts';
import { openControl } from './control/control-server.ts';
import { PointKeeper } from './history/point-keeper.ts';
import { inTurn } from './in-turn.ts';
import { consoleLog, type Log } from './log.ts';
import { assess, sceneWithoutClip, weighDraft, worstOfDraft } from './mechanics.ts';
import { projectRoot } from './paths.ts';
import { reviewFileOf } from './record/review-file.ts';
import { joinLink } from './routes/context.ts';
import { linksOf } from './routes/reviews.ts';
import { DEMO_REVIEW, seedDemo } from './seed.ts';
import type { OpenIdSettings } from './settings.ts';
import { SheetJobs } from './sheet/sheet-jobs.ts';
import { AccountStore } from './storage/account-store.ts';
import { CallStore } from './storage/call-store.ts';
import { DATABASE_FILE, IN_MEMORY, openDatabase } from './storage/database.ts';
import { FileStore } from './storage/file-store.ts';
import { InviteStore } from './storage/invite-store.ts';
import { PersonalTokenStore } from './storage/personal-token-store.ts';
import { PointStore } from './storage/point-store.ts';
import { ReviewStore } from './storage/review-store.ts';
import { generationOf } from './storage/server-state.ts';
import { SqliteUpdateStore } from './storage/sqlite-update-store.ts';
import { TokenStore } from './storage/token-store.ts';
import { Recorder } from './sync/recorder.ts';
import { Rooms } from './sync/rooms.ts';
import { Sockets } from './sync/sockets.ts';
import { Vouchers } from './sync/vouchers.ts';
import { Metrics } from './watch/metrics.ts';
import { Readiness } from './watch/readiness.ts';
import { makePost } from './webhooks/post.ts';
import { WebhookStore } from './webhooks/webhook-store.ts';
import { Webhooks } from './webhooks/webhooks.ts';

/** How long requests may take to be answered once the server is told to stop. */
const DRAIN_MS = 5000;

export interface ServeOptions {
  /** Folder for the database and the secret, or ':memory:'. */
  readonly data: string;
  /** 0 (the default): any free port. */
  readonly port?: number;
  /** Address to bind to; 127.0.0.1 if left out. */
  readonly host?: string;
  /** Address that people open; null or left out: whatever they used. */
  readonly publicUrl?: string | null;
  /** Signs cookies; left out: kept in the data folder. */
  readonly secret?: string;
  /** Whether / lets this machine's browser into the demo as a lead; true if left out. */
  readonly open?: boolean;
  /** The demo review, or what makes it when it is needed; left out: the project's own; null: none. */
  readonly demo?: DemoReview | (() => Promise<DemoReview>) | null;
  /** Folder of the built page; left out: dist/web of the project. */
  readonly webRoot?: string;
  /** How many proxies of ours stand in front; 0 if left out. */
  readonly proxies?: number;
  /** Needs publicUrl. */
  readonly openId?: OpenIdSettings | null;
  /** Opens /metrics to whoever shows it; null or left out: only to this machine. */
  readonly metricsToken?: string | null;
  /** Whether /metrics tells about the process as well; false if left out. */
  readonly processMetrics?: boolean;
  /** Whether webhooks may be on this machine and its network; false if left out. */
  readonly webhooksInner?: boolean;
  readonly clock?: Clock;
  readonly log?: Log;
}

export interface Served {
  /** Address of the page, without a slash at the end. */
  readonly url: string;
  readonly port: number;
  /** Link that joins a browser to the demo as a lead; null after the first start, when it is not known. */
  readonly leadLink: string | null;
  /** The demo's links by role; null after the first start. */
  readonly links: Readonly<Record<Role, string>> | null;
  /** Writes down what is pending, sends everybody away to come back, and stops. */
  close(): Promise<void>;
}

/** Starts the server. Rejects when the port or the data folder is taken, or the database is broken. */
export async function serve(options: ServeOptions): Promise<Served> {
  const { clock = systemClock, log = consoleLog } = options;
  const host = options.host ?? '127.0.0.1';
  const inMemory = options.data === IN_MEMORY;
  if (!inMemory) mkdirSync(options.data, { recursive: true });
  const database = openDatabase(inMemory ? IN_MEMORY : join(options.data, DATABASE_FILE));
  const secret = options.secret ?? (inMemory ? makeCapability() : secretIn(options.data));
  const reach: Reach = {
    publicUrl: options.publicUrl?.replace(/\/+$/, '') ?? null,
    loopback: isLoopbackName(host) || host === '::1',
  };

  const tokens = new TokenStore(database);
  const sessions = new Sessions({ tokens, clock, secret, publicUrl: reach.publicUrl });
  const accounts = new AccountStore(database, clock);
  const store = new SqliteUpdateStore(database, clock, log);
  const reviews = new ReviewStore(database, clock);
  const invites = new InviteStore(database, clock);
  const personalTokens = new PersonalTokenStore(database, clock);
  const generation = generationOf(database);
  const rooms = new Rooms(store, log, new Vouchers(secret, generation));
  const members = new Members(reviews, invites, rooms);
  const files = new FileStore(database, clock);
  const clips = new Clips(files);
  const webhookStore = new WebhookStore(database, clock);
  const webhooksInner = options.webhooksInner ?? false;
  const post = makePost(webhooksInner);
  const webhooks = new Webhooks({ store: webhookStore, post, clock, log });
  const calls = new CallStore(database, clock);
  // One at a time: long clips take much memory while they are weighed.
  const weighInTurn = inTurn();
  const recorder = new Recorder({
    ...{ rooms, clock, log, onDecided: webhooks.decided },
    keepHidden: (call, kept) => calls.keepMore(call, kept),
    weigh: (doc, review, draft) => {
      const clip = readDraft(doc, draft)?.clip ?? null;
      if (clip === null) return assess(sceneWithoutClip(doc, draft, 0));
      return weighDraft({ doc, review, draft, clip }, 0, clips).then(({ report }) => report);
    },
    weighMoving: (doc, review, draft, isStale) => {
      const clip = readDraft(doc, draft)?.clip ?? null;
      if (clip === null && readKeys(draftEntries(doc, draft)).size === 0) return null;
      return weighInTurn(() => worstOfDraft({ doc, review, draft, clip }, clips, isStale));
    },
  });
  const caller = new Caller({ rooms, calls, clips, assess, recorder, clock });
  const points = new PointStore(database, clock);
  const pointKeeper = new PointKeeper({ points, rooms, calls, clock, log });
  rooms.attendWith(async (room) => {
    const detach = await recorder.attend(room);
    pointKeeper.attend(room);
    return detach;
  });
  const sheets = new SheetJobs({ clock, log });
  const seedDeps = { reviews, rooms, clock, log, assess };
  const { demo } = options;
  const make = typeof demo === 'object' ? async () => demo : (demo ?? ownDemo);
  const demoInvites = await seedDemo(make, seedDeps);
  const demoIsHere = reviews.review(DEMO_REVIEW) !== null;

  const isFull = (): boolean => store.isFull;
  const metrics = new Metrics({ rooms, database, isFull }, options.processMetrics ?? false);
  const readiness = new Readiness({ isFull, canRead: () => canRead(database) });
  const webRoot = options.webRoot ?? join(projectRoot(), 'dist', 'web');
  const app = createApp({
    ...{
      reviews,
      invites,
      rooms,
      members,
      files,
      clips,
      points,
      pointKeeper,
      accounts,
      sessions,
      sheets,
    },
    ...{ assess, caller, clock, log, reach, personalTokens, webhookStore, webhooksInner },
    ...{ metrics, readiness, metricsToken: options.metricsToken ?? null },
    limits: new Limits(clock),
    proxies: options.proxies ?? 0,
    openId: openIdDoor(options.openId ?? null, reach, clock),
    generation,
    webRoot: existsSync(webRoot) ? webRoot : null,
    openReview: (options.open ?? true) && reach.loopback && demoIsHere ? DEMO_REVIEW : null,
  });
  const sockets = new Sockets({
    ...{ rooms, members, sessions, clock, log, reach },
    proxies: options.proxies ?? 0,
    generation,
  });
  const server = createAdaptorServer({ fetch: app.fetch }) as Server;
  server.on('upgrade', (request, socket, head) => sockets.upgrade(request, socket, head));
  const port = await listen(server, options.port ?? 0, host);
  const url = reach.publicUrl ?? `http://${host.includes(':') ? `[${host}]` : host}:${port}`;
  const links = demoInvites === null ? null : linksOf(url, demoInvites);
  const closeControl = inMemory
    ? async () => undefined
    : await openControl({
        ...{ data: options.data, database, reviews, invites, log },
        linkOf: (capability) => joinLink(url, capability),
        reviewFile: (review) => reviewFileOf(review, { rooms, reviews, files, clock }),
      });

  const close = async (): Promise<void> => {
    readiness.stop();
    sheets.close();
    await closeControl();
    const stopped = new Promise((resolve) => server.close(resolve));
    server.closeIdleConnections();
    await recorder.settleAll();
    await sockets.close();
    // Requests that are being answered get their answer, within reason.
    const patience = clock.after(DRAIN_MS, () => server.closeAllConnections());
    await stopped;
    clock.cancel(patience);
    await recorder.settleAll();
    await pointKeeper.settled();
    await webhooks.close();
    await store.close();
    database.close();
  };
  return { url, port, leadLink: links?.lead ?? null, links, close };
}

function canRead(database: Database): boolean {
  try {
    return database.prepare('SELECT count(*) FROM reviews').get() !== undefined;
  } catch {
    return false;
  }
}

function openIdDoor(
  settings: OpenIdSettings | null,
  { publicUrl }: Reach,
  clock: Clock,
): OpenIdDoor | null {
  if (settings === null) return null;
  if (publicUrl === null) throw new Error('sign-in needs the address that people open');
  return new OpenIdDoor(settings, publicUrl, clock);
}

// Its poses are worked out when it is imported, which only a first start has to wait for.
const ownDemo = async (): Promise<DemoReview> =>
  (await import('../demo-data/index.ts')).demoReview();

function listen(server: Server, port: number, host: string): Promise<number> {
  return new Promise((resolve, reject) => {
    server.once('error', reject);
    server.listen(port, host, () => {
      server.off('error', reject);
      resolve((server.address() as AddressInfo).port);
    });
  });
}
