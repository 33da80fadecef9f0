import type { Vec3 } from '../geometry/types.ts';
import { BvhError, type LineReader } from './bvh-lines.ts';
import { BVH_CHANNELS, BVH_LIMITS, type BvhChannel, type BvhJoint } from './bvh-types.ts';

interface Draft {
  name: string;
  parent: number;
  offset: Vec3 | null;
  channels: readonly BvhChannel[] | null;
  firstChannel: number;
  endSite: Vec3 | null;
}

/** Words with the line each stands on; braces stand alone even where they touch a word. */
class Words {
  #waiting: string[] = [];

  constructor(private readonly lines: LineReader) {}

  get line(): number {
    return Math.max(1, this.lines.line);
  }

  /** The next word; at the end of the text an error that says what was expected. */
  next(expected: string): string {
    while (this.#waiting.length === 0) {
      const line = this.lines.next();
      if (line === null) {
        throw new BvhError(
          this.line,
          `The file ends where ${expected} was expected.`,
          'The file is cut short: fetch or export it again.',
        );
      }
      this.#waiting = line.replace(/[{}]/g, ' $& ').trim().split(/\s+/).reverse();
    }
    return this.#waiting.pop() as string;
  }

  /** The rest of the line up to a brace, as a name (names may hold spaces). */
  restOfName(): string {
    const parts: string[] = [];
    while (this.#waiting.length > 0 && this.#waiting[this.#waiting.length - 1] !== '{') {
      parts.push(this.#waiting.pop() as string);
    }
    return parts.join(' ');
  }

  expect(word: string, mend: string): void {
    const found = this.next(`"${word}"`);
    if (found.toLowerCase() !== word.toLowerCase())
      this.fail(`Expected "${word}", found "${short(found)}".`, mend);
  }

  number(expected: string): number {
    return this.lines.number(this.next(expected));
  }

  fail(fault: string, mend: string): never {
    throw new BvhError(this.line, fault, mend);
  }
}

/** Reads from HIERARCHY up to and with the MOTION line. A stack instead of recursion: depth is the file's choice. */
export function readHierarchy(lines: LineReader): readonly BvhJoint[] {
  const words = new Words(lines);
  words.expect('HIERARCHY', 'A BVH file begins with HIERARCHY; this may be another kind of file.');
  words.expect('ROOT', 'After HIERARCHY comes ROOT and the name of the first joint.');
  const joints: Draft[] = [];
  const open: number[] = [];
  let channelCount = 0;

  const begin = (what: string): void => {
    const name = words.restOfName();
    if (name === '') words.fail(`Expected a name after ${what}.`, 'Give the joint a name.');
    if (joints.length >= BVH_LIMITS.joints) {
      words.fail(`More than ${BVH_LIMITS.joints} joints.`, 'Remove finger or face joints.');
    }
    words.expect('{', `Open the joint "${short(name)}" with a brace.`);
    joints.push({
      name,
      parent: open[open.length - 1] ?? -1,
      offset: null,
      channels: null,
      firstChannel: channelCount,
      endSite: null,
    });
    open.push(joints.length - 1);
  };

  begin('ROOT');
  while (open.length > 0) {
    const joint = joints[open[open.length - 1] as number] as Draft;
    const word = words.next(`"}" for the joint "${short(joint.name)}"`);
    switch (word.toLowerCase()) {
      case 'offset':
        if (joint.offset) words.fail(`A second OFFSET in "${short(joint.name)}".`, 'Keep one.');
        joint.offset = readVec3(words);
        break;
      case 'channels':
        if (joint.channels) words.fail(`A second CHANNELS in "${short(joint.name)}".`, 'Keep one.');
        // Values follow the order in which the CHANNELS lines stand in the file.
        joint.firstChannel = channelCount;
        joint.channels = readChannels(words);
        channelCount += joint.channels.length;
        break;
      case 'joint':
        begin('JOINT');
        break;
      case 'end':
        words.expect('Site', 'Write "End Site".');
        words.restOfName();
        words.expect('{', 'Open the End Site with a brace.');
        words.expect('OFFSET', 'An End Site holds one OFFSET.');
        joint.endSite = readVec3(words);
        words.expect('}', 'Close the End Site with a brace after its OFFSET.');
        break;
      case '}':
        if (!joint.offset)
          words.fail(`"${short(joint.name)}" has no OFFSET.`, 'Add its OFFSET x y z.');
        open.pop();
        break;
      default:
        words.fail(
          `Expected OFFSET, CHANNELS, JOINT, End Site or "}" in "${short(joint.name)}", found "${short(word)}".`,
          'Check the braces and keywords above this line.',
        );
    }
  }
  const after = words.next('"MOTION"');
  if (after.toLowerCase() === 'root') words.fail('A second ROOT.', 'Keep one figure in a file.');
  if (after.toLowerCase() !== 'motion') {
    words.fail(
      `Expected "MOTION", found "${short(after)}".`,
      'After the last brace of the hierarchy comes MOTION.',
    );
  }
  const trailing = words.restOfName();
  if (trailing !== '')
    words.fail(
      `Expected a new line after MOTION, found "${short(trailing)}".`,
      'Put "Frames:" on a line of its own.',
    );
  return joints.map(
    (joint): BvhJoint => ({
      ...joint,
      offset: joint.offset ?? [0, 0, 0],
      channels: joint.channels ?? [],
    }),
  );
}

function readVec3(words: Words): Vec3 {
  const expected = 'a number of the OFFSET';
  return [words.number(expected), words.number(expected), words.number(expected)];
}

function readChannels(words: Words): readonly BvhChannel[] {
  const count = words.number('the number of channels');
  if (!Number.isInteger(count) || count < 0 || count > 6) {
    words.fail(`Expected 0 to 6 channels, found ${count}.`, 'Joints have 3 channels, the root 6.');
  }
  const channels: BvhChannel[] = [];
  for (let i = 0; i < count; i++) {
    const word = words.next('the name of a channel');
    const channel = BVH_CHANNELS.find((name) => name.toLowerCase() === word.toLowerCase());
    if (!channel) {
      words.fail(
        `Expected ${count} channel names, found "${short(word)}".`,
        `Names are ${BVH_CHANNELS.join(', ')}.`,
      );
    }
    if (channels.includes(channel))
      words.fail(`${channel} stands twice.`, 'Name every channel once.');
    channels.push(channel);
  }
  return channels;
}

const short = (text: string): string => (text.length > 40 ? `${text.slice(0, 40)}…` : text);
