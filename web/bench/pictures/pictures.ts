import type { ReactiveController, ReactiveControllerHost } from 'lit';
import {
  draftEntries,
  dropPicture,
  type Picture,
  type PictureView,
  pictureKey,
  putPicture,
  readPictures,
  setEntries,
  startMarks,
} from '../../../core/document/index.ts';
import { lineUp, type Vec2 } from '../../../core/geometry/index.ts';
import { faultWords } from '../../controllers/fault-words.ts';
import type { LiveDraft } from '../../session/index.ts';
import type { View } from '../camera.ts';
import type { Through } from '../looking.ts';
import type { Shown } from '../shown.ts';

/** What can be set of a picture by hand. */
export type Marks = Partial<
  Pick<
    Picture,
    | 'opacity'
    | 'hidden'
    | 'locked'
    | 'feet'
    | 'head'
    | 'horizon'
    | 'stature'
    | 'at'
    | 'focal'
    | 'turn'
  >
>;

interface PicturesHost extends ReactiveControllerHost {
  readonly live: LiveDraft;
  readonly shown: Shown;
}

const MEDIA = ['image/png', 'image/jpeg', 'image/webp'];

/** The pictures among files that somebody dropped, pasted or chose. */
export const picturesAmong = (files: Iterable<File> | null | undefined): File[] =>
  [...(files ?? [])].filter(({ type }) => MEDIA.includes(type));

/** Which picture lies behind a view; the free view has none. */
export function pictureViewOf(view: View): PictureView | null {
  if (view === 'picture') return 'camera';
  return view === 'orbit' ? null : view;
}

/** The draft's reference pictures: what is behind which view, and every change of them. */
export class Pictures implements ReactiveController {
  readonly #host: PicturesHost;
  /** The line-up is being done: its marks can be dragged. */
  lining = false;
  /** The picture lies over the drawing instead of behind it; only on this screen. */
  over = false;
  /** Which picture of a set, counted from 0, where no clip says it. */
  #step = 0;
  #all: ReadonlyMap<PictureView, Picture> = new Map();
  #entries: ReadonlyMap<string, unknown> | null = null;

  constructor(host: PicturesHost) {
    this.#host = host;
    host.addController(this);
  }

  hostConnected(): void {
    this.#entries = null;
  }

  get all(): ReadonlyMap<PictureView, Picture> {
    const { entries } = this.#host.live;
    if (entries !== this.#entries) {
      this.#entries = entries;
      this.#all = readPictures(entries);
    }
    return this.#all;
  }

  of(view: View): Picture | null {
    const behind = pictureViewOf(view);
    return behind === null ? null : (this.all.get(behind) ?? null);
  }

  /** What the picture view looks through; null without a picture or where its marks give no camera. */
  get through(): Through | null {
    const picture = this.all.get('camera');
    const camera = picture === undefined ? null : lineUp(picture);
    return picture !== undefined && camera?.ok
      ? { camera: camera.value, size: picture.size }
      : null;
  }

  /** Which picture of a set is shown, counted from 0: the clip's frame, or the one stepped to. */
  stepOf({ files }: Picture): number {
    const { clip, frame } = this.#host.live;
    const at = clip.kind === 'ready' ? frame : this.#step;
    return Math.max(0, Math.min(files.length - 1, at));
  }

  stepTo(step: number): void {
    this.#step = step;
    this.#host.requestUpdate();
  }

  urlOf(picture: Picture): string {
    return this.#host.live.session.fileUrl(picture.files[this.stepOf(picture)] ?? '');
  }

  show(how: { lining?: boolean; over?: boolean }): void {
    Object.assign(this, how);
    this.#host.requestUpdate();
  }

  /**
   * Keeps pictures in the review and puts them behind a view; several are the frames of a shot in the
   * order of their names. Throws an Error to show; then nothing of the draft has changed.
   */
  async put(files: readonly File[], view: PictureView): Promise<void> {
    const { live, shown } = this.#host;
    const { session, draft } = live;
    const inOrder = [...files].sort((a, b) =>
      a.name.localeCompare(b.name, undefined, { numeric: true }),
    );
    const hashes: string[] = [];
    for (const file of inOrder) {
      try {
        hashes.push(await session.putFile(new Uint8Array(await file.arrayBuffer())));
      } catch (cause) {
        const why = faultWords(cause);
        throw new Error(`${file.name}: ${why} No picture was changed.`, { cause });
      }
    }
    const [first] = hashes;
    if (first === undefined) return;
    const size = await sizeOf(session.fileUrl(first));
    const figure = shown.scene.figures[0];
    const [x = 0, , z = 0] = figure?.pose.position ?? [];
    const picture: Picture = {
      ...{ view, size, files: hashes, name: inOrder[0]?.name ?? 'Picture' },
      ...startMarks(size),
      ...{ stature: figure?.body.stature ?? 1.7, at: [x, 0, z], focal: 50, turn: 0 },
      ...{ opacity: 0.6, hidden: false, locked: false },
    };
    session.edit('scenes', 'put in a reference', (doc) =>
      putPicture(draftEntries(doc, draft), picture),
    );
    this.#step = 0;
    this.show({ lining: true });
  }

  remove(view: PictureView): void {
    const { session, draft } = this.#host.live;
    session.edit('scenes', 'took a reference away', (doc) =>
      dropPicture(draftEntries(doc, draft), view),
    );
    session.say('Took the reference away. Undo brings it back.');
  }

  /**
   * Sets marks as one undo step. What is built on the marks as they are comes as a function of them:
   * what is shown is up to a frame older, and a second key press must build on the first.
   */
  set(view: PictureView, change: Marks | ((now: Picture) => Marks), done: string): void {
    const { session, draft } = this.#host.live;
    const now = readPictures(draftEntries(session.documents.scenes, draft)).get(view);
    if (now === undefined) return;
    const marks = typeof change === 'function' ? change(now) : change;
    session.edit('scenes', done, (doc, origin) =>
      setEntries(doc, draft, entriesOf(view, marks), origin),
    );
  }

  /** Shows marks to everyone while a hand or a slider moves; `commit` keeps them. */
  slide(view: PictureView, marks: Marks): void {
    const { session, draft } = this.#host.live;
    session.show({ drag: { draft, entries: entriesOf(view, marks) } });
  }

  commit(done: string): void {
    this.#host.live.session.commitDrag(done);
  }

  cancel(): void {
    this.#host.live.session.cancelDrag();
  }
}

const entriesOf = (view: PictureView, marks: Marks): Record<string, unknown> =>
  Object.fromEntries(
    Object.entries(marks).map(([field, value]) => [pictureKey(view, field as keyof Marks), value]),
  );

async function sizeOf(url: string): Promise<Vec2> {
  const image = new Image();
  image.src = url;
  await image.decode();
  return [image.naturalWidth, image.naturalHeight];
}
