import { readHierarchy } from './bvh-hierarchy.ts';
import { BvhError, LineReader } from './bvh-lines.ts';
import { BVH_LIMITS, type BvhClip, type BvhJoint } from './bvh-types.ts';

export type BvhRead =
  | { readonly ok: true; readonly clip: BvhClip }
  | { readonly ok: false; readonly message: string; readonly line: number };

/**
 * Reads a BVH file by the format's own rules: one HIERARCHY with any joint names, 0 to 6 channels a
 * joint in any order, End Sites, then MOTION with one row of numbers a frame. Spaces or tabs, any line
 * ends, exponents and upper or lower case of the keywords are all taken. Never throws. What is
 * malformed gives the line (from 1), what was expected there and the mend; nothing is kept.
 */
export function readBvh(text: string): BvhRead {
  try {
    if (text.length > BVH_LIMITS.characters) {
      throw new BvhError(
        1,
        `The file has more than ${BVH_LIMITS.characters / 1e6} million characters.`,
        'Cut the clip into shorter ones.',
      );
    }
    const lines = new LineReader(text);
    const joints = readHierarchy(lines);
    return { ok: true, clip: readMotion(lines, joints) };
  } catch (error) {
    if (error instanceof BvhError) return { ok: false, message: error.message, line: error.line };
    throw error;
  }
}

function readMotion(lines: LineReader, joints: readonly BvhJoint[]): BvhClip {
  const channelCount = joints.reduce((sum, joint) => sum + joint.channels.length, 0);
  const frameCount = readSetting(lines, 'Frames', /^frames\s*:\s*(.*)$/i, 'Frames: 120');
  if (!Number.isInteger(frameCount) || frameCount < 1) {
    throw new BvhError(
      lines.line,
      `Expected a whole number of frames, at least 1, found ${frameCount}.`,
      'Write how many rows of numbers follow.',
    );
  }
  if (frameCount > BVH_LIMITS.frames || frameCount * channelCount > BVH_LIMITS.values) {
    throw new BvhError(
      lines.line,
      `${frameCount} frames of ${channelCount} channels are more than can be read (${BVH_LIMITS.frames} frames, ${BVH_LIMITS.values / 1e6} million values).`,
      'Cut the clip into shorter ones.',
    );
  }
  const frameTime = readSetting(
    lines,
    'Frame Time',
    /^frame\s+time\s*:\s*(.*)$/i,
    'Frame Time: 0.0416667',
  );
  if (!(frameTime > 0 && frameTime <= 3600)) {
    throw new BvhError(
      lines.line,
      `Expected the seconds from a frame to the next, more than 0, found ${frameTime}.`,
      'For 24 frames a second write Frame Time: 0.0416667.',
    );
  }
  const values = readRows(lines, frameCount, channelCount);
  return { joints, frameCount, frameTime, channelCount, values };
}

function readSetting(lines: LineReader, name: string, pattern: RegExp, example: string): number {
  const line = lines.next();
  if (line === null) {
    throw new BvhError(
      lines.line,
      `The file ends where "${name}:" was expected.`,
      `Add a line such as "${example}".`,
    );
  }
  const value = pattern.exec(line)?.[1];
  if (value === undefined) {
    throw new BvhError(
      lines.line,
      `Expected "${name}:" and a number, found "${short(line)}".`,
      `Write a line such as "${example}".`,
    );
  }
  return lines.number(value.trim());
}

function readRows(lines: LineReader, frameCount: number, channelCount: number): Float64Array {
  // Taken only once enough text is there for it, so that a short file cannot ask for much memory.
  if (lines.left < frameCount * channelCount) {
    throw new BvhError(
      lines.line,
      `"Frames: ${frameCount}" asks for more numbers than the rest of the file can hold.`,
      'Set Frames to the number of rows that follow.',
    );
  }
  const values = new Float64Array(frameCount * channelCount);
  for (let frame = 0; frame < frameCount; frame++) {
    const line = channelCount === 0 ? '' : lines.next();
    if (line === null) {
      throw new BvhError(
        lines.line,
        `The file ends after ${frame} of ${frameCount} frames.`,
        `Add the missing rows, or set Frames to ${frame}.`,
      );
    }
    const words = channelCount === 0 ? [] : line.split(/\s+/);
    if (words.length !== channelCount) {
      throw new BvhError(
        lines.line,
        `Expected ${channelCount} numbers for frame ${frame + 1}, found ${words.length}.`,
        'Every row holds one number for each channel of the hierarchy.',
      );
    }
    for (let i = 0; i < channelCount; i++) {
      values[frame * channelCount + i] = lines.number(words[i] as string);
    }
  }
  const extra = lines.next();
  if (extra !== null) {
    throw new BvhError(
      lines.line,
      `Expected the end of the file after ${frameCount} frames, found "${short(extra)}".`,
      'Set Frames to the number of rows, or remove what follows.',
    );
  }
  return values;
}

const short = (text: string): string => (text.length > 40 ? `${text.slice(0, 40)}…` : text);
