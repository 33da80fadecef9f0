import { readFileSync } from 'node:fs';
import { readBvh, readClip } from '../../core/formats/index.ts';
import { type ClipSource, weighClip } from '../../core/motion/index.ts';
import { ofSize, WALK } from '../helpers/long-bvh.ts';
import { mujocoFigure } from './mujoco-figure.ts';
import type { BenchRow } from './rows.ts';

const FRAMES = 10_000;

/**
 * Weighing a clip of 10,000 frames in motion (the recorded walk over and over: contacts found, every
 * frame weighed, speeds, pressure, verdicts and sentences), against mujoco-js doing kinematics and
 * centre of the same poses; and reading a BVH of 1 MB. Both sides get their poses made beforehand;
 * making them from the file is a row of its own.
 */
export async function run(): Promise<BenchRow[]> {
  const text = readFileSync(WALK, 'utf8');
  const read = readClip(text, { mass: 75, table: 'deleva-male' });
  if (!read.ok) throw new Error(read.message);
  const { clip } = read;
  const made = timed(() =>
    Array.from({ length: FRAMES }, (_, i) => clip.poseAt(i % clip.frameCount)),
  );
  const poses = made.result;
  const scenes = Array.from({ length: clip.frameCount }, (_, i) => clip.sceneAt(i));
  const long: ClipSource = {
    rate: clip.rate,
    frameCount: FRAMES,
    sceneAt: (frame) => scenes[frame % clip.frameCount]!,
  };
  const short: ClipSource = { ...long, frameCount: 2000 };
  const peer = await mujocoFigure(clip.body);
  const kinematics = () => {
    let height = 0;
    for (const pose of poses) height += peer.centreOf(pose)[1];
    return height;
  };
  // The compiler gets its turn before the clock starts.
  weighClip(short);
  kinematics();
  const [ours, theirs] = [timed(() => weighClip(long)), timed(kinematics)];
  const mean = ours.result.frames.reduce((sum, { reading }) => sum + reading.centre![1], 0);
  if (!(Math.abs(mean - theirs.result) / FRAMES < 1e-6))
    throw new Error(
      `Mean heights of the centre differ: ${mean / FRAMES}, ${theirs.result / FRAMES}`,
    );
  peer.close();

  const megabyte = ofSize(text, 1_000_000);
  readBvh(megabyte);
  const parsed = timed(() => readBvh(`${megabyte}\n`));
  return [
    { name: 'clip weighed in motion, 10,000 frames', value: ours.seconds, unit: 's' },
    {
      name: 'clip weighed in motion',
      ...{ value: FRAMES / ours.seconds, unit: 'frames/s' },
      ...{ ratio: theirs.seconds / ours.seconds, peer: 'mujoco-js kinematics + centre' },
    },
    { name: 'mujoco-js kinematics + centre', value: FRAMES / theirs.seconds, unit: 'frames/s' },
    { name: 'poses made from the file', value: FRAMES / made.seconds, unit: 'frames/s' },
    { name: 'BVH of 1 MB read', value: parsed.seconds * 1000, unit: 'ms' },
  ];
}

function timed<T>(call: () => T): { readonly result: T; readonly seconds: number } {
  const start = performance.now();
  const result = call();
  return { result, seconds: (performance.now() - start) / 1000 };
}
