import type { ReactiveController, ReactiveControllerHost } from 'lit';
import type { Heading } from '../../core/balance/index.ts';
import {
  type Answer,
  type Call,
  type CalledVerdict,
  callsMap,
  type OpenCall,
  readCalls,
  type ShownCall,
} from '../../core/document/index.ts';
import type { Vec3 } from '../../core/geometry/index.ts';
import { faultWords } from '../controllers/fault-words.ts';
import { observeMaps } from '../controllers/follow.ts';
import { type LiveDraft, readMyAnswer, type Session, sendAnswer } from '../session/index.ts';

interface CallingHost extends ReactiveControllerHost {
  readonly session: Session;
  readonly shotId: string;
  readonly live: LiveDraft | null;
}

/** Where the cross lies before it is moved, metres beside the figures: nothing is suggested. */
const BESIDE = 0.35;

/**
 * The calls of the shot that is on the bench, and what I am about to call: shared by the panel, where
 * it is typed, and the drawings, where it is dragged.
 */
export class Calling extends EventTarget implements ReactiveController {
  readonly #host: CallingHost;
  calls: readonly Call[] = [];
  /** Where I put the centre; null where no call is open. */
  centre: Vec3 | null = null;
  verdict: CalledVerdict | null = null;
  heading: Heading | null = null;
  /** I have put the centre somewhere. */
  placed = false;
  /** What I said is what the server has. */
  sent = false;
  trouble = '';
  /** The shown call that lies over the drawings; null for none. */
  laid: string | null = null;
  /** The person whose cross is marked among the others. */
  marked: string | null = null;
  #open: string | null = null;
  #shot = '';
  #stop: () => void = () => undefined;

  constructor(host: CallingHost) {
    super();
    this.#host = host;
    host.addController(this);
  }

  hostConnected(): void {
    const { record } = this.#host.session.documents;
    this.#stop = observeMaps([callsMap(record)], () => this.#read());
    this.#read();
  }

  hostDisconnected(): void {
    this.#stop();
  }

  hostUpdate(): void {
    if (this.#shot !== this.#host.shotId) this.#read();
    else if (this.open !== null && this.centre === null) this.#begin(this.open);
  }

  get open(): OpenCall | null {
    return this.calls.find((call): call is OpenCall => call.state === 'open') ?? null;
  }

  /** Shown calls, the latest first. */
  get shown(): readonly ShownCall[] {
    return this.calls
      .filter((call): call is ShownCall => call.state === 'shown')
      .sort((a, b) => (a.shownAt < b.shownAt ? 1 : -1));
  }

  /** The shown call that lies over the drawings of a draft; null for none. */
  laidOver(draft: string): ShownCall | null {
    return this.shown.find(({ id, draft: of }) => id === this.laid && of === draft) ?? null;
  }

  /** Whether I may call in the open call. */
  get mayCall(): boolean {
    return this.open !== null && (this.#host.session.me.role !== 'guest' || this.open.guests);
  }

  /** What I would say; null as long as something is missing. */
  get answer(): Answer | null {
    const { centre, verdict, heading, placed } = this;
    if (centre === null || verdict === null || !placed) return null;
    if (verdict !== 'holds' && heading === null) return null;
    return { centre, verdict, heading: verdict === 'holds' ? null : heading };
  }

  set(said: Partial<Pick<Calling, 'centre' | 'verdict' | 'heading' | 'laid' | 'marked'>>): void {
    Object.assign(this, said);
    if ('centre' in said) this.placed = true;
    if ('centre' in said || 'verdict' in said || 'heading' in said) this.sent = false;
    this.#changed();
  }

  /** Sends what I say to the server, which tells nobody before it is shown. */
  async send(): Promise<void> {
    const { open, answer } = this;
    if (open === null || answer === null) return;
    const { session } = this.#host;
    try {
      await sendAnswer(session.review, open.id, answer);
      this.sent = true;
      this.trouble = '';
      session.say('Your call is made. You may change it until it is shown.');
    } catch (error) {
      this.trouble = faultWords(error);
    }
    this.#changed();
  }

  #read(): void {
    const { session, shotId } = this.#host;
    const before = this.#shot === shotId ? this.#open : null;
    this.#shot = shotId;
    this.calls = readCalls(session.documents.record, shotId);
    const open = this.open?.id ?? null;
    // What was shown just now lies over the drawing at once.
    if (before !== null && open === null)
      this.laid = this.shown.find(({ id }) => id === before)?.id ?? null;
    if (open !== this.#open) {
      this.#open = open;
      Object.assign(this, { centre: null, verdict: null, heading: null });
      Object.assign(this, { placed: false, sent: false, trouble: '' });
      if (open !== null) void this.#readMine(open);
    }
    this.#changed();
  }

  /** What I have said before, when the page is opened again in the middle of a call. */
  async #readMine(call: string): Promise<void> {
    const mine = await readMyAnswer(this.#host.session.review, call).catch(() => null);
    if (mine === null || this.#open !== call || this.placed) return;
    Object.assign(this, mine, { placed: true, sent: true });
    this.#changed();
  }

  /** Goes to the frame that everybody calls, and lays the cross beside the figures. */
  #begin({ draft, frame }: OpenCall): void {
    const { live } = this.#host;
    // Another draft's figures would put the cross elsewhere, and it has no such frame.
    if (live?.draft !== draft) return;
    const { figures } = live.scene;
    if (figures.length === 0) return;
    if (frame !== null) live.setFrame(frame);
    const places = figures.map(({ pose }) => pose.position);
    const left = Math.max(...places.map(([x]) => x));
    const [, height = 0.9, ahead = 0] = places[0] ?? [];
    this.centre = [left + BESIDE, Math.max(0.2, height), ahead];
    this.#changed();
  }

  #changed(): void {
    this.#host.requestUpdate();
    this.dispatchEvent(new Event('change'));
  }
}
