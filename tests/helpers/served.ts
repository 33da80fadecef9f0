import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join as joinPath } from 'node:path';
import { onTestFinished } from 'vitest';
import type { Role } from '../../core/protocol/index.ts';
import type { DemoReview } from '../../demo-data/types.ts';
import { type Served, type ServeOptions, serve } from '../../server/serve.ts';
import { KeptLog } from './kept-log.ts';
import { join } from './sync-client.ts';

/** A small review of our own for tests of the server. */
export const SMALL_REVIEW: DemoReview = {
  title: 'Small review',
  sequences: [
    { id: 'quay', title: 'The quay' },
    { id: 'loft', title: 'The loft' },
  ],
  people: [
    { id: 'ada', name: 'Ada Fenn', role: 'lead', ink: 3 },
    { id: 'bo', name: 'Bo Marl', role: 'reviewer', ink: 7 },
  ],
  shots: [
    {
      code: 'QY 010',
      title: 'Lifts the crate',
      sequence: 'quay',
      rate: 24,
      frames: [1, 48],
      state: 'for-review',
      drafts: [
        { title: 'first pass', scene: sceneOf('porter') },
        {
          title: 'hips back',
          scene: sceneOf('porter'),
          notes: [
            {
              by: 'ada',
              pin: { kind: 'plumb', figure: 'porter' },
              frame: null,
              text: 'The line lands on the toes.',
              weight: 'must',
              state: 'answered',
              replies: [{ by: 'bo', text: 'Moved the hips back.' }],
            },
          ],
        },
      ],
    },
  ],
};

function sceneOf(figure: string): DemoReview['shots'][number]['drafts'][0]['scene'] {
  return {
    figures: [
      {
        id: figure,
        name: 'Porter',
        body: { table: 'deleva-male', stature: 1.75, mass: 70 },
        pose: { position: [0, 0.95, 0], rotation: [0, 0, 0, 1], joints: {} },
        contacts: {},
      },
    ],
    loads: [],
    surfaces: [],
    grips: [],
  };
}

export interface TestServer extends Served {
  readonly log: KeptLog;
  /** Joins a new browser with a role; gives its cookie. */
  joinAs(role: Role): Promise<string>;
}

/** A server on a free port that ends with the test. */
export async function startServer(options: Partial<ServeOptions> = {}): Promise<TestServer> {
  const log = new KeptLog();
  const served = await serve({ data: ':memory:', demo: SMALL_REVIEW, log, ...options });
  let isOpen = true;
  const close = async (): Promise<void> => {
    if (isOpen) await served.close();
    isOpen = false;
  };
  onTestFinished(close);
  const joinAs = async (role: Role): Promise<string> => {
    if (served.links === null) throw new Error('only a first start knows its links');
    return join(served.links[role]);
  };
  return { ...served, close, log, joinAs };
}

/** A folder that goes with the test. */
export function temporaryFolder(): string {
  const folder = mkdtempSync(joinPath(tmpdir(), 'counterlean-test-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}
