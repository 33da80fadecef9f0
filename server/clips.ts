import { type ClipLink, clipSettings } from '../core/document/index.ts';
import { type MovingClip, readMoving } from '../core/formats/index.ts';
import { AppError } from './errors.ts';
import type { FileStore } from './storage/file-store.ts';

/** Clips that stay read, so that a card, a report and a record of one shot read its file once. */
const MAX_KEPT = 4;

/** Reads the files of clips, of every format the page reads, by the same reader. */
export class Clips {
  readonly #files: Pick<FileStore, 'get'>;
  readonly #kept = new Map<string, Promise<MovingClip>>();

  constructor(files: Pick<FileStore, 'get'>) {
    this.#files = files;
  }

  /** The clip of a link. Rejects with AppError when its file is not here or cannot be read. */
  read(review: string, link: ClipLink): Promise<MovingClip> {
    const key = JSON.stringify([review, link]);
    const clip = this.#kept.get(key) ?? this.#load(review, link);
    // The one that was asked for last is forgotten last.
    this.#kept.delete(key);
    this.#kept.set(key, clip);
    clip.catch(() => this.#kept.delete(key));
    for (const oldest of this.#kept.keys()) {
      if (this.#kept.size <= MAX_KEPT) break;
      this.#kept.delete(oldest);
    }
    return clip;
  }

  async #load(review: string, link: ClipLink): Promise<MovingClip> {
    const file = this.#files.get(review, link.file);
    if (file === null) {
      throw new AppError('not-found', 'The file of this clip is not here.', 'Drop the clip again.');
    }
    const { bytes } = file;
    const text = new TextDecoder().decode(bytes);
    const read = await readMoving({ bytes, text }, clipSettings(link));
    if (!read.ok) {
      throw new AppError('unreadable', read.message, 'Drop another file on the board.');
    }
    return read.clip;
  }
}
