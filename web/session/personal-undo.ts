import * as Y from 'yjs';
import { draftHolding } from '../../core/document/index.ts';
import { USER_ORIGIN } from './types.ts';

interface Step {
  readonly label: string;
  /** Steps of both documents count together, so that undo goes back through them in order. */
  readonly number: number;
  /** Ids of the drafts that it changed, row or scene. */
  readonly drafts: ReadonlySet<string>;
}

interface StackItem {
  readonly meta: Map<unknown, unknown>;
}

const stepOf = (item: StackItem | undefined): Step | null =>
  (item?.meta.get('step') as Step | undefined) ?? null;

/** What an undo or redo did. */
export type Undone =
  | { readonly kind: 'done'; readonly label: string }
  /** Someone else has changed the same thing since, so it was left as it is. */
  | { readonly kind: 'overtaken'; readonly label: string }
  /** A draft that it changed may not change now. */
  | { readonly kind: 'stays'; readonly reason: string }
  | { readonly kind: 'nothing' };

/**
 * One person's undo over several documents: it takes back edits with USER_ORIGIN only, one
 * transaction a step, the latest first whichever document it was in.
 *
 * The scope of each manager is its whole document, because a draft's entries are a root map that may
 * appear at any time.
 */
export class PersonalUndo {
  readonly #managers: readonly Y.UndoManager[];
  readonly #onChange: () => void;
  readonly #staysAsItIs: (draft: string) => string | null;
  #steps = 0;
  #label = '';
  #travelling = false;

  /** @param staysAsItIs why a draft may not change now; null where it may */
  constructor(
    docs: readonly Y.Doc[],
    onChange: () => void,
    staysAsItIs: (draft: string) => string | null = () => null,
  ) {
    this.#onChange = onChange;
    this.#staysAsItIs = staysAsItIs;
    this.#managers = docs.map(
      (doc) =>
        new Y.UndoManager(doc, {
          captureTimeout: 0,
          trackedOrigins: new Set<unknown>([USER_ORIGIN]),
        }),
    );
    for (const manager of this.#managers) {
      manager.on('stack-item-added', ({ stackItem, changedParentTypes }) =>
        this.#added(manager, stackItem, draftsIn(manager.doc, changedParentTypes)),
      );
    }
  }

  get canUndo(): boolean {
    return this.#managers.some((manager) => manager.undoStack.length > 0);
  }

  get canRedo(): boolean {
    return this.#managers.some((manager) => manager.redoStack.length > 0);
  }

  /** Runs one edit whose step is to be called `label`. */
  labelled(label: string, edit: () => void): void {
    this.#label = label;
    edit();
  }

  undo(): Undone {
    return this.#travel('undo');
  }

  redo(): Undone {
    return this.#travel('redo');
  }

  destroy(): void {
    for (const manager of this.#managers) manager.destroy();
  }

  #added(manager: Y.UndoManager, item: StackItem, drafts: ReadonlySet<string>): void {
    if (this.#travelling) return;
    const step: Step = { label: this.#label, number: ++this.#steps, drafts };
    item.meta.set('step', step);
    for (const other of this.#managers) {
      if (other !== manager) other.clear(false, true);
    }
    this.#onChange();
  }

  #travel(direction: 'undo' | 'redo'): Undone {
    const stackOf = (manager: Y.UndoManager): StackItem[] =>
      direction === 'undo' ? manager.undoStack : manager.redoStack;
    const rank = (manager: Y.UndoManager): number => stepOf(stackOf(manager).at(-1))?.number ?? 0;
    const newest = [...this.#managers]
      .filter((manager) => stackOf(manager).length > 0)
      .sort((a, b) => (direction === 'undo' ? rank(b) - rank(a) : rank(a) - rank(b)))[0];
    if (newest === undefined) return { kind: 'nothing' };
    const step = stepOf(stackOf(newest).at(-1));
    for (const draft of step?.drafts ?? []) {
      const reason = this.#staysAsItIs(draft);
      if (reason !== null) return { kind: 'stays', reason };
    }
    const done = this.#popOne(newest, direction);
    if (done && step !== null) {
      const opposite = direction === 'undo' ? newest.redoStack : newest.undoStack;
      opposite.at(-1)?.meta.set('step', step);
    }
    this.#onChange();
    return { kind: done ? 'done' : 'overtaken', label: step?.label ?? '' };
  }

  /**
   * Pops exactly one step. The manager alone would go on to earlier steps when the first has no
   * effect any more, and so take back something that the person was not thinking of.
   */
  #popOne(manager: Y.UndoManager, direction: 'undo' | 'redo'): boolean {
    const key = direction === 'undo' ? 'undoStack' : 'redoStack';
    const below = manager[key].slice(0, -1);
    manager[key] = manager[key].slice(-1);
    this.#travelling = true;
    try {
      return manager[direction]() !== null;
    } finally {
      this.#travelling = false;
      manager[key] = [...below, ...manager[key]];
    }
  }
}

/** The drafts whose rows or scenes an edit has changed, by its events. */
function draftsIn(doc: Y.Doc, changed: Y.Transaction['changedParentTypes']): ReadonlySet<string> {
  const drafts = new Set<string>();
  for (const [name, root] of doc.share) {
    for (const { changes } of changed.get(root) ?? []) {
      for (const key of changes.keys.keys()) {
        const draft = draftHolding(name, key);
        if (draft !== null) drafts.add(draft);
      }
    }
  }
  return drafts;
}
