import type { ReactiveController, ReactiveControllerHost } from 'lit';
import { gatherReview, readDrafts, type ShotRecord } from '../../core/document/index.ts';
import type { Weighed } from '../../core/sheet/index.ts';
import { FollowedDraft, type Session } from '../session/index.ts';
import './print-sheet.ts';
import { PAGE_RULES } from './print-sheet.styles.ts';
import type { PrintSheet } from './print-sheet.ts';

/** What is printed: the shots of these ids, in board order; null: all. */
export interface Printed {
  readonly session: Session;
  readonly shots: readonly string[] | null;
}

/**
 * Prints the review sheet in the place of the page it belongs to, however printing was begun. By the
 * keyboard or by `print` it waits for clips; the browser's own menu does not let anybody wait, so a
 * clip that is still on its way then says so on its page.
 */
export class Printing implements ReactiveController {
  readonly #what: () => Printed;
  /** Drafts that play a clip, which are read once and kept while the page is open. */
  readonly #moving = new Map<string, FollowedDraft>();
  readonly #rules = new CSSStyleSheet();
  #sheet: PrintSheet | null = null;

  constructor(host: ReactiveControllerHost, what: () => Printed) {
    this.#what = what;
    this.#rules.replaceSync(PAGE_RULES);
    host.addController(this);
  }

  hostConnected(): void {
    window.addEventListener('beforeprint', this.#begin);
    window.addEventListener('afterprint', this.#end);
    window.addEventListener('keydown', this.#handleKey);
  }

  hostDisconnected(): void {
    window.removeEventListener('beforeprint', this.#begin);
    window.removeEventListener('afterprint', this.#end);
    window.removeEventListener('keydown', this.#handleKey);
    this.#end();
    for (const draft of this.#moving.values()) draft.close();
    this.#moving.clear();
  }

  /** Opens the browser's print dialog once every clip has been read. */
  readonly print = async (): Promise<void> => {
    const { session, shots } = this.#what();
    const wanted = shots === null ? null : new Set(shots);
    const current = new Map(
      readDrafts(session.documents.scenes).map((draft) => [draft.shot, draft] as const),
    );
    const reading = [...current.values()]
      .filter(({ shot, clip }) => clip !== null && (wanted?.has(shot) ?? true))
      .map(({ id }) => clipRead(this.#follow(session, id)));
    await Promise.all(reading);
    window.print();
  };

  readonly #handleKey = (event: KeyboardEvent): void => {
    const isPrint = event.key.toLowerCase() === 'p' && (event.ctrlKey || event.metaKey);
    if (!isPrint || event.shiftKey || event.altKey) return;
    event.preventDefault();
    void this.print();
  };

  readonly #begin = (): void => {
    this.#end();
    const { session, shots } = this.#what();
    const whole = gatherReview(session.documents);
    const wanted = shots === null ? null : new Set(shots);
    const sheet = document.createElement('cl-print-sheet');
    sheet.review = { ...whole, shots: whole.shots.filter(({ id }) => wanted?.has(id) ?? true) };
    sheet.weigh = (shot) => this.#weigh(session, shot);
    this.#sheet = sheet;
    document.adoptedStyleSheets = [...document.adoptedStyleSheets, this.#rules];
    document.body.append(sheet);
  };

  readonly #end = (): void => {
    this.#sheet?.remove();
    this.#sheet = null;
    document.adoptedStyleSheets = document.adoptedStyleSheets.filter((one) => one !== this.#rules);
  };

  #weigh(session: Session, { drafts }: ShotRecord): Weighed | null {
    const draft = drafts.at(-1);
    if (draft === undefined) return null;
    const isMoving = draft.clip !== null;
    const followed = isMoving
      ? this.#follow(session, draft.id)
      : new FollowedDraft(session, draft.id);
    const { scene, report, problem, clip } = followed;
    if (!isMoving) followed.close();
    if (clip.kind === 'loading') return { problem: 'its clip is still being read; print again.' };
    if (clip.kind === 'failed') return { problem: clip.message };
    return problem === null ? { scene, report } : { problem };
  }

  #follow(session: Session, draft: string): FollowedDraft {
    const followed = this.#moving.get(draft) ?? new FollowedDraft(session, draft);
    this.#moving.set(draft, followed);
    return followed;
  }
}

/** Resolves when a draft's clip has been read, or cannot be. */
const clipRead = (draft: FollowedDraft): Promise<void> =>
  new Promise((resolve) => {
    const look = (): void => {
      if (draft.clip.kind === 'loading') return;
      draft.removeEventListener('change', look);
      resolve();
    };
    draft.addEventListener('change', look);
    draft.addEventListener('closed', () => resolve());
    look();
  });
