import * as Y from 'yjs';
import { setEntries } from '../../core/document/index.ts';
import { Authors } from '../../server/sync/authors.ts';
import { judge } from '../../server/sync/gate.ts';
import { RemovedWords } from '../../server/sync/note-rules.ts';
import { random } from '../helpers/random.ts';
import { type BenchRow, timed } from './rows.ts';

const USER = { source: 'user' } as const;
const SEED = 31;
const DRAFTS = 60;
const EDITS = 20_000;

/** What the gate costs: one turned joint in a review of 60 drafts, against applying that update. */
export async function run(): Promise<BenchRow[]> {
  const draw = random(SEED);
  const doc = new Y.Doc();
  for (let draft = 0; draft < DRAFTS; draft++) {
    const entries = Array.from({ length: 60 }, (_, index) => [
      `figure/f/${index}`,
      [draw(), draw()],
    ]);
    setEntries(doc, `d${draft}`, Object.fromEntries(entries), USER);
  }
  const base = Y.encodeStateAsUpdate(doc);
  const writer = new Y.Doc();
  Y.applyUpdate(writer, base);
  const updates: Uint8Array[] = [];
  writer.on('update', (update: Uint8Array) => updates.push(update));
  for (let edit = 0; edit < EDITS; edit++) {
    const key = `figure/f/${edit % 60}`;
    setEntries(writer, `d${edit % DRAFTS}`, { [key]: [draw(), draw(), draw(), draw()] }, USER);
  }
  const context = {
    ...({ doc, document: 'scenes', role: 'animator', person: 'p' } as const),
    ...{ authors: new Authors(new Map()), removed: new RemovedWords() },
    ...{
      shownBy: () => null,
      ownerOf: () => null,
      calledDrafts: () => new Set<string>(),
      isHidden: () => false,
    },
  };
  const first = updates[0]!;
  const passage = judge(first, context);
  if (passage.kind !== 'pass') throw new Error(`the gate says ${JSON.stringify(passage)}`);
  // Applying must meet a new update each time; judging leaves the document alone and may repeat.
  const target = new Y.Doc();
  Y.applyUpdate(target, base);
  let next = 0;
  const [gate, apply] = timed(
    [() => judge(first, context), () => Y.applyUpdate(target, updates[next++ % EDITS]!)],
    { rounds: 300, batchMs: 0.3, warmUpMs: 300 },
  );
  const whole = Y.encodeStateAsUpdate(doc);
  const [again] = timed([() => judge(whole, context)], { rounds: 50, batchMs: 2, warmUpMs: 300 });
  return [
    {
      ...{ name: 'gate, one turned joint', value: gate!.median, unit: 'us' },
      ...{ ratio: gate!.median / apply!.median, peer: 'applying it' },
    },
    {
      name: `gate, a whole review of ${whole.byteLength} bytes sent again`,
      value: again!.median,
      unit: 'us',
    },
  ];
}
