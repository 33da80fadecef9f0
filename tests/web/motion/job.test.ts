import { describe, expect, it } from 'vitest';
import { clipSettings, movingDraft, plainLink } from '../../../core/document/index.ts';
import { readMoving } from '../../../core/formats/index.ts';
import { weighClip } from '../../../core/motion/index.ts';
import { ferrymanRises } from '../../../demo-data/clips.ts';
import { readJobClip, weighJob } from '../../../web/motion/job.ts';
import type { MotionFrame, WeighJob, WholeClip } from '../../../web/motion/protocol.ts';

const bytes = new TextEncoder().encode(ferrymanRises());
const link = plainLink({
  ...{ file: 'a', name: 'rises', format: 'bvh', stature: 1.7, mass: 68, table: 'deleva-male' },
});
const shot = { rate: 24, frames: [1, 44] } as const;
const job: WeighJob = {
  id: 1,
  entries: [],
  cast: [],
  clip: link,
  shot,
  figure: null,
  slowest: true,
};

/** Everything that a job tells, put together as the page does. */
function gather(run: ReturnType<typeof weighJob>) {
  const frames: MotionFrame[] = [];
  let resting = 0;
  let whole: WholeClip | null = null;
  for (const message of run) {
    if (message.kind === 'frames') frames.splice(message.from, 0, ...message.frames);
    if (message.kind === 'resting') resting += message.frames.length;
    if (message.kind === 'done') whole = message.whole;
  }
  return { frames, resting, whole };
}

describe('a job of the worker', () => {
  it("tells what core's weighClip finds, frame by frame and as a whole", async () => {
    const clip = await readJobClip(job, () => bytes);
    const { frames, whole } = gather(weighJob(job, clip));
    const read = await readMoving({ bytes, text: ferrymanRises() }, clipSettings(link));
    if (!read.ok) throw new Error(read.message);
    const core = weighClip(movingDraft(new Map(), read.clip, shot)!, { slowest: true });
    expect(frames.map(({ verdict, sentence }) => [verdict, sentence])).toEqual(
      core.frames.map(({ verdict, sentence }) => [verdict, sentence]),
    );
    expect(frames.some(({ verdict }) => verdict === 'carried')).toBe(true);
    expect(whole).toMatchObject({ worst: core.worst, slowest: core.slowest, counts: core.counts });
    expect(whole?.spans).toEqual(core.spans);
  });

  it('says which file is missing, and that nothing moves', async () => {
    await expect(readJobClip(job, () => undefined)).rejects.toThrow(/not here/);
    expect(() => weighJob({ ...job, clip: null }, null).next()).toThrow(/Nothing moves/);
  });
});
