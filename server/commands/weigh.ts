import type { Verdict } from '../../core/balance/index.ts';
import { drawCard, drawStrip, type StripFrame, stripOf } from '../../core/drawing/index.ts';
import { BadInput, type Command, type CommandIo } from './types.ts';
import { reportCsv } from './weigh-csv.ts';
import {
  changesAtRest,
  judgedOf,
  type Weighed,
  type WeighedFrame,
  type WeighedSource,
  weighAtRest,
  weighInMotion,
} from './weigh-frames.ts';
import { reportJson } from './weigh-json.ts';
import { readWeighOptions, WEIGH_USAGE, type WeighOptions } from './weigh-options.ts';
import { openSource } from './weigh-source.ts';
import { reportText } from './weigh-text.ts';

const PRINTERS = { json: reportJson, csv: reportCsv, text: reportText } as const;

const HELD = 'Every frame is weighed as a held pose; speed is not counted.';

/** A handful of drawings is no motion: from fewer frames no speed can be told from a change of pose. */
const FEWEST_FRAMES = 6;

/** Exit code where `--fail-on` names a verdict that occurs. */
const FAILED = 1;

export const weigh: Command = {
  usage: WEIGH_USAGE,
  summary: [
    'Reads a scene (.json), a clip (.bvh, .glb, .gltf) or COCO keypoints (.json) and prints its balance.',
    'A clip is weighed in motion; --at-rest weighs every frame as a held pose.',
    '--fail-on falls,teeters ends with code 1 when a frame that was weighed falls or teeters; any verdict',
    'may be named: holds, held, teeters, carried, airborne, falls, cannot-tell.',
    'Exit code 0 when read, 1 as --fail-on asks, 2 on bad input.',
  ].join('\n      '),
  async run(args, io) {
    const options = readWeighOptions(args);
    const source = await openSource(options, io);
    const [first, last] =
      options.frame === null ? [0, source.frameCount - 1] : [options.frame, options.frame];
    if (first < 0 || first >= source.frameCount) {
      const there =
        source.frameCount === 1 ? 'frame 0 only' : `frames 0 to ${source.frameCount - 1}`;
      throw new BadInput(`${options.file}: there is no frame ${first}; the file has ${there}`);
    }
    if (options.strip !== null && source.frameCount === 1)
      throw new BadInput(
        `--strip: ${options.file} is one pose; a strip needs the frames of a clip`,
      );
    const moves = source.frameCount >= FEWEST_FRAMES && !options.atRest && source.judge === null;
    const weighed = moves ? weighInMotion(source, first, last) : weighAtRest(source, first, last);
    if (options.picture !== null)
      await drawPicture(options.picture, source, weighed.frames[0] as WeighedFrame, io);
    if (options.strip !== null) await write(options.strip, 'strip', stripSvg(source, weighed), io);
    const held = source.frameCount > 1 && !moves;
    const told = held ? { ...source, remarks: [...source.remarks, HELD] } : source;
    io.out(PRINTERS[options.output](told, weighed));
    return failure(options, source.frameCount, weighed, io);
  },
};

/** Exit code for pipelines, with the frames that made it on `err`. */
function failure(
  { failOn, file }: WeighOptions,
  frameCount: number,
  { frames }: Weighed,
  io: CommandIo,
): number {
  if (failOn.length === 0) return 0;
  const found = new Map<Verdict, number[]>();
  for (const weighed of frames) {
    for (const group of weighed.report.groups) {
      const { verdict } = judgedOf(weighed, group);
      if (!failOn.includes(verdict)) continue;
      const at = found.get(verdict) ?? [];
      found.set(verdict, at);
      at.push(weighed.frame);
    }
  }
  if (found.size === 0) return 0;
  const list = [...found].map(([verdict, at]) => {
    const more = at.length === 1 ? '' : ` and ${at.length - 1} more`;
    const word = verdict === 'unknown' ? 'cannot tell' : verdict;
    return frameCount === 1 ? word : `${word} at frame ${at[0]}${more}`;
  });
  io.err(`counterlean: ${file}: ${list.join('; ')}`);
  return FAILED;
}

function stripSvg(source: WeighedSource, { frames, motion }: Weighed): string {
  const [about] = motion;
  const first = frames[0]?.frame ?? 0;
  const shown =
    about === undefined
      ? { frames: framesAtRest(frames), ticks: changesAtRest(frames, source.rate) }
      : stripOf(about.reading);
  const seen = shown.frames.filter(({ frame }) => frame >= first && frame < first + frames.length);
  const worst = about?.reading.worst ?? null;
  const worstFrame = worst === null ? undefined : about?.reading.frames[worst];
  return drawStrip(seen, {
    rate: source.rate,
    ticks: shown.ticks,
    mark: worst === null ? null : { frame: worst, word: `worst: frame ${worst}` },
    title: `${source.name}: margin over ${frames.length} frames`,
    description: worstFrame?.sentence ?? 'Every frame weighed as a held pose.',
    theme: 'paper',
    ground: 'paper',
  });
}

/** Of a frame with several groups the one that is worst off is shown. */
function framesAtRest(frames: readonly WeighedFrame[]): StripFrame[] {
  return frames.flatMap((weighed) => {
    const ratio = (group: { margin: { ratio: number | null } | null }): number =>
      group.margin?.ratio ?? Number.POSITIVE_INFINITY;
    const [worst] = [...weighed.report.groups].sort((a, b) => ratio(a) - ratio(b));
    if (worst === undefined) return [];
    return [
      {
        frame: weighed.frame,
        verdict: judgedOf(weighed, worst).verdict,
        ratio: worst.margin?.ratio ?? null,
        moving: null,
      },
    ];
  });
}

async function drawPicture(
  path: string,
  source: WeighedSource,
  frame: WeighedFrame,
  io: CommandIo,
): Promise<void> {
  const title = source.frameCount === 1 ? source.name : `${source.name}, frame ${frame.frame}`;
  const svg = drawCard(frame.scene, frame.report, {
    width: 640,
    height: 760,
    theme: 'paper',
    ground: 'paper',
    labels: true,
    labelSize: 14,
    title,
  });
  await write(path, 'picture', svg, io);
}

async function write(path: string, what: string, text: string, io: CommandIo): Promise<void> {
  try {
    await io.writeText(path, text);
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code ?? String(error);
    throw new BadInput(`${path}: the ${what} cannot be written (${code})`);
  }
}
