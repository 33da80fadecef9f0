import { basename, extname } from 'node:path';
import { parseArgs } from 'node:util';
import { assess } from '../../core/balance/index.ts';
import { buildBody, TABLES, type TableName } from '../../core/body/index.ts';
import { drawCard } from '../../core/drawing/index.ts';
import { readClip, readSceneJson } from '../../core/formats/index.ts';
import type { Figure, Scene } from '../../core/scene/index.ts';
import { BadInput, type Command, type CommandIo } from './types.ts';
import { reportJson, reportText, type WeighedFrame, type WeighedSource } from './weigh-report.ts';

interface Options {
  readonly file: string;
  readonly frame: number | null;
  readonly mass: number | null;
  readonly stature: number | null;
  readonly scale: number | null;
  readonly table: TableName | null;
  readonly json: boolean;
  readonly picture: string | null;
}

export const weigh: Command = {
  usage:
    'weigh FILE [--frame N] [--mass KG] [--stature M] [--scale S] [--table T] [--json] [--picture OUT.svg]',
  summary: 'Reads a scene (.json) or a clip (.bvh) and prints its balance.',
  async run(args, io) {
    const options = readOptions(args);
    const source = await open(options, io);
    const [first, last] =
      options.frame === null ? [0, source.frameCount - 1] : [options.frame, options.frame];
    if (first < 0 || first >= source.frameCount) {
      const there =
        source.frameCount === 1 ? 'frame 0 only' : `frames 0 to ${source.frameCount - 1}`;
      throw new BadInput(`${options.file}: there is no frame ${first}; the file has ${there}`);
    }
    const frames: WeighedFrame[] = [];
    for (let frame = first; frame <= last; frame++) {
      const scene = source.sceneAt(frame);
      frames.push({ frame, time: frame / source.rate, scene, report: assess(scene) });
    }
    if (options.picture !== null)
      await draw(options.picture, source, frames[0] as WeighedFrame, io);
    io.out(options.json ? reportJson(source, frames) : reportText(source, frames));
    return 0;
  },
};

function readOptions(args: readonly string[]): Options {
  const { values, positionals } = parse(args);
  const [file, ...more] = positionals;
  if (file === undefined) throw new BadInput('weigh needs a file: counterlean weigh FILE');
  if (more.length > 0)
    throw new BadInput(`weigh reads one file at a time; "${more[0]}" is one too many`);
  const table = values.table ?? null;
  if (table !== null && !(TABLES as readonly string[]).includes(table))
    throw new BadInput(`--table: expected one of ${TABLES.join(', ')}, got "${table}"`);
  return {
    file,
    frame: number('--frame', values.frame, { whole: true, above: -1 }),
    mass: number('--mass', values.mass, { above: 0 }),
    stature: number('--stature', values.stature, { above: 0 }),
    scale: number('--scale', values.scale, { above: 0 }),
    table: table as TableName | null,
    json: values.json ?? false,
    picture: values.picture ?? null,
  };
}

function parse(args: readonly string[]) {
  try {
    return parseArgs({
      args: joinNegative(args),
      allowPositionals: true,
      options: {
        frame: { type: 'string' },
        mass: { type: 'string' },
        stature: { type: 'string' },
        scale: { type: 'string' },
        table: { type: 'string' },
        json: { type: 'boolean' },
        picture: { type: 'string' },
      },
    });
  } catch (error) {
    // parseArgs throws TypeErrors with codes ERR_PARSE_ARGS_*; their first sentence is clear enough.
    if (!(error instanceof TypeError)) throw error;
    const [first = ''] = error.message.split(/\.\s/);
    throw new BadInput(`weigh: ${first.replace(/\.$/, '')}`);
  }
}

/** `--mass -3` means --mass=-3: parseArgs would take the number for another option. */
function joinNegative(args: readonly string[]): string[] {
  const joined: string[] = [];
  for (const arg of args) {
    const before = joined.at(-1);
    if (/^-[\d.]/.test(arg) && before?.startsWith('--') && !before.includes('='))
      joined[joined.length - 1] = `${before}=${arg}`;
    else joined.push(arg);
  }
  return joined;
}

function number(
  name: string,
  text: string | undefined,
  { whole = false, above }: { whole?: boolean; above: number },
): number | null {
  if (text === undefined) return null;
  const value = text.trim() === '' ? Number.NaN : Number(text);
  if (Number.isFinite(value) && value > above && (!whole || Number.isInteger(value))) return value;
  const expected = whole ? `a whole number of at least ${above + 1}` : `a number above ${above}`;
  throw new BadInput(`${name}: expected ${expected}, got "${text}"`);
}

async function open(options: Options, io: CommandIo): Promise<WeighedSource> {
  const kind = extname(options.file).toLowerCase();
  if (kind === '.glb' || kind === '.gltf')
    throw new BadInput(
      `${options.file}: glTF files are not read yet; give a scene (.json) or a clip (.bvh)`,
    );
  if (kind !== '.json' && kind !== '.bvh')
    throw new BadInput(
      `${options.file}: expected a scene (.json) or a clip (.bvh), got "${kind === '' ? 'no ending' : kind}"`,
    );
  const text = await read(options.file, io);
  try {
    return kind === '.bvh' ? clipSource(options, text) : sceneSource(options, text);
  } catch (error) {
    // Sizes that no body can be built with: the core names the number and the range.
    if (!(error instanceof RangeError)) throw error;
    throw new BadInput(`${options.file}: ${error.message}`);
  }
}

async function read(file: string, io: CommandIo): Promise<string> {
  try {
    return await io.readText(file);
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    const why =
      code === 'ENOENT'
        ? 'there is no such file'
        : code === 'EISDIR'
          ? 'this is a folder, not a file'
          : `the file cannot be read (${code ?? String(error)})`;
    throw new BadInput(`${file}: ${why}`);
  }
}

function sceneSource(options: Options, text: string): WeighedSource {
  const result = readSceneJson(text);
  if (!result.ok) throw new BadInput(`${options.file}: ${result.message}`);
  if (options.scale !== null)
    throw new BadInput('--scale is for clips; a scene file is in metres already');
  const scene = resized(result.scene, options);
  // Builds every body once, so that a size out of range is told as one.
  for (const figure of scene.figures) buildBody(figure.body);
  return {
    source: options.file,
    name: result.name ?? basename(options.file),
    rate: 1,
    frameCount: 1,
    remarks: [],
    sceneAt: () => scene,
  };
}

/** A scene with the mass, stature or table that was given; only a scene of one figure can take them. */
function resized(scene: Scene, { mass, stature, table }: Options): Scene {
  if (mass === null && stature === null && table === null) return scene;
  const [figure, ...others] = scene.figures;
  if (figure === undefined || others.length > 0) {
    throw new BadInput(
      `--mass, --stature and --table go with one figure; this scene has ${scene.figures.length}`,
    );
  }
  const body = {
    ...figure.body,
    ...(mass === null ? {} : { mass }),
    ...(stature === null ? {} : { stature }),
    ...(table === null ? {} : { table }),
  };
  // Standing on y = 0, all heights grow with the legs; the hips keep their place in plan.
  const grown = buildBody(body).hipHeight / buildBody(figure.body).hipHeight;
  const [x, y, z] = figure.pose.position;
  const changed: Figure = {
    ...figure,
    body,
    pose: { ...figure.pose, position: [x, y * grown, z] },
  };
  return { ...scene, figures: [changed] };
}

/** Weighed with when nothing is given; the sentence in the report says so. */
const ASSUMED_MASS = 70;

function clipSource(options: Options, text: string): WeighedSource {
  const { mass, stature, scale, table } = options;
  const result = readClip(text, {
    mass: mass ?? ASSUMED_MASS,
    table: table ?? 'deleva-male',
    name: basename(options.file),
    ...(stature === null ? {} : { stature }),
    ...(scale === null ? {} : { scale }),
  });
  if (!result.ok) throw new BadInput(`${options.file}: line ${result.line}: ${result.message}`);
  const { clip } = result;
  const assumed =
    mass === null ? [`No mass was given: weighed as ${ASSUMED_MASS} kg (--mass KG).`] : [];
  return {
    source: options.file,
    name: basename(options.file),
    rate: clip.rate,
    frameCount: clip.frameCount,
    remarks: [
      ...clip.report.sentences,
      ...assumed,
      'Every frame is weighed as a held pose; speed is not counted.',
    ],
    sceneAt: (frame) => clip.sceneAt(frame),
  };
}

async function draw(
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
  try {
    await io.writeText(path, svg);
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code ?? String(error);
    throw new BadInput(`${path}: the picture cannot be written (${code})`);
  }
}
