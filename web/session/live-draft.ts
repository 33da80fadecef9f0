import { assess, type BalanceReport } from '../../core/balance/index.ts';
import {
  boardMaps,
  type ClipLink,
  castMap,
  clipSettings,
  type Drag,
  draftEntries,
  letGoEntries,
  movingDraft,
  openCallOn,
  overlaid,
  readDraft,
  readSceneEntries,
  readShots,
  type ShotTiming,
} from '../../core/document/index.ts';
import { judgedReport, readMoving } from '../../core/formats/index.ts';
import type { ClipSource } from '../../core/motion/index.ts';
import type { Scene } from '../../core/scene/types.ts';
import { faultWords } from '../controllers/fault-words.ts';
import type { ClipState, LiveDraft, Mover, Session, Supposed } from './types.ts';

const ONE_POSE: ShotTiming = { rate: 24, frames: [1, 1] };
const NO_SCENE: Scene = { figures: [], loads: [], surfaces: [], grips: [] };

/** What a draft whose readings are hidden says of itself. */
const NOTHING_TOLD: BalanceReport = assess(NO_SCENE);

interface HeldDrag {
  readonly drag: Drag;
  readonly person: string;
  readonly name: string;
  readonly ink: number;
  readonly mine: boolean;
}

/** Follows one draft; see `LiveDraft` for what it promises. Close it when it is not shown any more. */
export class FollowedDraft extends EventTarget implements LiveDraft {
  readonly session: Session;
  readonly draft: string;
  #shot = '';
  #scene: Scene = NO_SCENE;
  #report: BalanceReport = assess(NO_SCENE);
  #entries: ReadonlyMap<string, unknown> = new Map();
  #movers: readonly Mover[] = [];
  #problem: string | null = null;
  #sealed = false;
  #hidden = false;
  #clip: ClipState = { kind: 'none' };
  #clipLink: ClipLink | null = null;
  #frame = 0;
  #motion: ClipSource | null = null;
  #timing: ShotTiming = ONE_POSE;
  #drags: readonly HeldDrag[] = [];
  #supposed: readonly Supposed[] = [];
  #scheduled: number | null = null;
  #stale = true;
  readonly #stops: (() => void)[] = [];

  constructor(session: Session, draft: string) {
    super();
    this.session = session;
    this.draft = draft;
    const doc = session.documents.scenes;
    const entries = draftEntries(doc, draft);
    const board = boardMaps(doc);
    const cast = castMap(doc);
    entries.observe(this.#schedule);
    cast.observe(this.#schedule);
    for (const map of board) map.observe(this.#readLink);
    this.#stops.push(
      () => entries.unobserve(this.#schedule),
      () => cast.unobserve(this.#schedule),
      () => {
        for (const map of board) map.unobserve(this.#readLink);
      },
      session.on('presence', () => this.#readPresence()),
      session.on('hidden', this.#schedule),
    );
    this.#readLink();
    this.#readPresence();
    this.#compute();
  }

  get shot(): string {
    return this.#shot;
  }
  get scene(): Scene {
    return this.#scene;
  }
  get report(): BalanceReport {
    return this.#report;
  }
  get entries(): ReadonlyMap<string, unknown> {
    return this.#entries;
  }
  get movers(): readonly Mover[] {
    return this.#movers;
  }
  get supposed(): readonly Supposed[] {
    return this.#supposed;
  }
  get hidden(): boolean {
    return this.#hidden;
  }
  get called(): boolean {
    return openCallOn(this.session.documents.record, this.#shot)?.draft === this.draft;
  }
  get problem(): string | null {
    return this.#problem;
  }
  get sealed(): boolean {
    return this.#sealed;
  }
  get clip(): ClipState {
    return this.#clip;
  }
  get motion(): ClipSource | null {
    return this.#motion;
  }
  get timing(): ShotTiming {
    return this.#timing;
  }
  get frame(): number {
    return this.#frame;
  }

  setFrame(frame: number): void {
    const last = (this.#motion?.frameCount ?? 1) - 1;
    const within = Math.max(0, Math.min(last, Math.round(frame)));
    if (within === this.#frame) return;
    this.#frame = within;
    this.#soon();
  }

  close(): void {
    for (const stop of this.#stops.splice(0)) stop();
    if (this.#scheduled !== null) cancelAnimationFrame(this.#scheduled);
    this.#scheduled = null;
    this.dispatchEvent(new Event('closed'));
  }

  /** Something of the draft changed. */
  readonly #schedule = (): void => {
    this.#stale = true;
    this.#soon();
  };

  readonly #soon = (): void => {
    this.#scheduled ??= requestAnimationFrame(() => {
      this.#scheduled = null;
      this.#compute();
      this.dispatchEvent(new Event('change'));
    });
  };

  #readPresence(): void {
    this.#readDrags();
    this.#readSupposed();
  }

  #readSupposed(): void {
    const { me, whatIf, ends: mineEnds } = this.session;
    const others = this.session.others();
    const ended = new Set([mineEnds, ...others.map(({ ends }) => ends)]);
    const mine = { person: me.id, name: me.name, ink: me.ink, whatIf, mine: true };
    const found = [...others.map((other) => ({ ...other, mine: false })), mine].flatMap(
      ({ person, name, ink, whatIf: what, mine: own }): Supposed[] =>
        what === null || what.draft !== this.draft || ended.has(what.id)
          ? []
          : [{ id: what.id, person, name, ink, mine: own, open: what.open }],
    );
    if (JSON.stringify(found) === JSON.stringify(this.#supposed)) return;
    this.#supposed = found;
    this.#schedule();
  }

  #readDrags(): void {
    const held: HeldDrag[] = [];
    for (const { drag, person, name, ink } of this.session.others()) {
      if (drag?.draft === this.draft) held.push({ drag, person, name, ink, mine: false });
    }
    const { drag, me } = this.session;
    if (drag?.draft === this.draft) {
      held.push({ drag, person: me.id, name: me.name, ink: me.ink, mine: true });
    }
    const same =
      held.length === this.#drags.length &&
      held.every((item, index) => item.drag === this.#drags[index]?.drag);
    if (same) return;
    this.#drags = held;
    this.#schedule();
  }

  readonly #readLink = (): void => {
    const draft = readDraft(this.session.documents.scenes, this.draft);
    this.#shot = draft?.shot ?? this.#shot;
    if ((draft?.sealed ?? false) !== this.#sealed) {
      this.#sealed = !this.#sealed;
      this.#schedule();
    }
    this.#readTiming();
    const link = draft?.clip ?? null;
    if (JSON.stringify(link) === JSON.stringify(this.#clipLink)) return;
    this.#clipLink = link;
    if (link === null) this.#setClip({ kind: 'none' });
    else void this.#loadClip(link);
  };

  #readTiming(): void {
    const shots = readShots(this.session.documents.scenes);
    const shot = shots.find(({ id }) => id === this.#shot);
    const { rate, frames } = shot ?? ONE_POSE;
    const { rate: before, frames: span } = this.#timing;
    if (rate === before && frames[0] === span[0] && frames[1] === span[1]) return;
    this.#timing = { rate, frames };
    this.#schedule();
  }

  async #loadClip(link: ClipLink): Promise<void> {
    // The same file read another way: what is shown stays until it is read.
    const same = this.#clip.kind === 'ready' && this.#clip.link.file === link.file;
    if (!same) this.#setClip({ kind: 'loading' });
    const clip = await this.#fetchClip(link);
    // Another link may have been set while this one was on its way.
    if (this.#clipLink === link) this.#setClip(clip);
  }

  async #fetchClip(link: ClipLink): Promise<ClipState> {
    try {
      const bytes = await this.session.file(link.file);
      const text = new TextDecoder().decode(bytes);
      const read = await readMoving({ bytes, text }, clipSettings(link));
      if (!read.ok) return { kind: 'failed', message: read.message };
      const { clip } = read;
      const { rate, frameCount, sceneAt } = clip;
      const name = link.name || clip.name;
      return { kind: 'ready', ...{ name, rate, frameCount, sceneAt, link, bytes }, read: clip };
    } catch (error) {
      return { kind: 'failed', message: faultWords(error) };
    }
  }

  #setClip(clip: ClipState): void {
    this.#clip = clip;
    this.#schedule();
  }

  /** Reads the draft anew, unless only another frame of it is wanted. */
  #readMotion(): void {
    if (!this.#stale) return;
    this.#stale = false;
    const entries = draftEntries(this.session.documents.scenes, this.draft);
    let shown: ReadonlyMap<string, unknown> = new Map(entries.entries());
    // Mine last: under my hand the part follows me, whoever else holds it.
    for (const { drag } of this.#drags) shown = overlaid(shown, drag.entries);
    for (const { open } of this.#supposed) shown = overlaid(shown, letGoEntries(shown, open));
    this.#entries = shown;
    this.#movers = this.#drags.map(({ drag, person, name, ink, mine }) => ({
      person,
      name,
      ink,
      mine,
      keys: Object.keys(drag.entries),
    }));
    const clip = this.#clip.kind === 'ready' ? this.#clip : null;
    this.#motion = movingDraft(shown, clip, this.#timing, castMap(this.session.documents.scenes));
    this.#frame = Math.min(this.#frame, (this.#motion?.frameCount ?? 1) - 1);
  }

  #compute(): void {
    this.#readMotion();
    try {
      const cast = castMap(this.session.documents.scenes);
      this.#scene = this.#motion?.sceneAt(this.#frame) ?? readSceneEntries(this.#entries, cast);
      this.#hidden = this.session.hides(this.#shot);
      this.#report = this.#hidden ? NOTHING_TOLD : this.#weigh(this.#scene);
      this.#problem = null;
    } catch (error) {
      this.#problem = faultWords(error);
    }
  }

  /** Figures that were fitted to a picture are told as far as it shows them. */
  #weigh(scene: Scene): BalanceReport {
    const judge = this.#clip.kind === 'ready' ? this.#clip.read.judge : null;
    return judge === null ? assess(scene) : judgedReport(assess(scene), judge);
  }
}
