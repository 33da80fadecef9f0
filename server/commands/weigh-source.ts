import { basename, dirname, extname, join } from 'node:path';
import { buildBody } from '../../core/body/index.ts';
import {
  type Clip,
  gltfSideFiles,
  isKeypointText,
  readClip,
  readGltf,
  readKeypoints,
  readSceneJson,
} from '../../core/formats/index.ts';
import type { Figure, Scene } from '../../core/scene/index.ts';
import { BadInput, type CommandIo } from './types.ts';
import type { WeighedSource } from './weigh-frames.ts';
import type { WeighOptions } from './weigh-options.ts';

/** Reads the file of a `weigh` call. Throws BadInput with the file and what is wrong with it. */
export async function openSource(options: WeighOptions, io: CommandIo): Promise<WeighedSource> {
  const kind = extname(options.file).toLowerCase();
  const reader = Object.hasOwn(READERS, kind) ? READERS[kind] : undefined;
  if (reader === undefined)
    throw new BadInput(
      `${options.file}: expected a scene (.json) or a clip (.bvh, .glb, .gltf), got "${kind === '' ? 'no ending' : kind}"`,
    );
  try {
    return await reader(options, io);
  } catch (error) {
    // Sizes that no body can be built with: the core names the number and the range.
    if (!(error instanceof RangeError)) throw error;
    throw new BadInput(`${options.file}: ${error.message}`);
  }
}

type Reader = (options: WeighOptions, io: CommandIo) => Promise<WeighedSource>;

const READERS: Readonly<Record<string, Reader>> = {
  '.bvh': async (options, io) => {
    const text = await read(options.file, io.readText);
    const result = readClip(text, clipOptions(options));
    if (!result.ok) throw new BadInput(`${options.file}: ${placed(result.message)}`);
    return clipSource(options, result.clip);
  },
  '.glb': gltfSource,
  '.gltf': gltfSource,
  '.json': async (options, io) => {
    const text = await read(options.file, io.readText);
    if (isKeypointText(text)) return keypointSource(options, text);
    const result = readSceneJson(text);
    if (!result.ok) throw new BadInput(`${options.file}: ${result.message}`);
    return sceneSource(options, result.scene, result.name);
  },
};

async function gltfSource(options: WeighOptions, io: CommandIo): Promise<WeighedSource> {
  const bytes = await read(options.file, io.readBytes);
  const files = new Map<string, Uint8Array>();
  for (const name of await gltfSideFiles(bytes)) {
    // One that is not there is told by the reader, with its place in the file.
    const side = await io.readBytes(join(dirname(options.file), name)).catch(() => null);
    if (side) files.set(name, side);
  }
  const result = await readGltf(bytes, {
    ...clipOptions(options),
    files,
    ...(options.fps === null ? {} : { fps: options.fps }),
    ...(options.animation === null ? {} : { animation: options.animation }),
  });
  if (!result.ok) throw new BadInput(`${options.file}: ${result.message}`);
  return clipSource(options, result.clip);
}

/** A message that begins with its line goes on after the file's name. */
const placed = (message: string): string => message.replace(/^Line (?=\d)/, 'line ');

async function read<T>(file: string, take: (path: string) => Promise<T>): Promise<T> {
  try {
    return await take(file);
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

function sceneSource(options: WeighOptions, read: Scene, name: string | null): WeighedSource {
  if (options.scale !== null)
    throw new BadInput('--scale is for clips; a scene file is in metres already');
  const scene = resized(read, options);
  // Builds every body once, so that a size out of range is told as one.
  for (const figure of scene.figures) buildBody(figure.body);
  return {
    source: options.file,
    name: name ?? basename(options.file),
    rate: 1,
    frameCount: 1,
    remarks: [],
    judge: null,
    sceneAt: () => scene,
  };
}

/** A scene with the mass, stature or table that was given; only a scene of one figure can take them. */
function resized(scene: Scene, { mass, stature, table }: WeighOptions): Scene {
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

const figureOptions = ({ file, mass, stature, table }: WeighOptions) => ({
  mass: mass ?? ASSUMED_MASS,
  table: table ?? ('deleva-male' as const),
  name: basename(file),
  ...(stature === null ? {} : { stature }),
});

const clipOptions = (options: WeighOptions) => ({
  ...figureOptions(options),
  ...(options.scale === null ? {} : { scale: options.scale }),
});

const massRemark = ({ mass }: WeighOptions): readonly string[] =>
  mass === null ? [`No mass was given: weighed as ${ASSUMED_MASS} kg (--mass KG).`] : [];

function clipSource(options: WeighOptions, clip: Clip): WeighedSource {
  return {
    source: options.file,
    name: basename(options.file),
    rate: clip.rate,
    frameCount: clip.frameCount,
    remarks: [...clip.report.sentences, ...massRemark(options)],
    judge: null,
    sceneAt: (frame) => clip.sceneAt(frame),
  };
}

function keypointSource(options: WeighOptions, text: string): WeighedSource {
  const { scale, standing, tilt, fps } = options;
  const result = readKeypoints(text, {
    ...figureOptions(options),
    lineUp: {
      ...(scale === null ? {} : { scale }),
      ...(standing === null ? {} : { standing }),
      ...(tilt === null ? {} : { tilt: (tilt * Math.PI) / 180 }),
    },
    ...(fps === null ? {} : { rate: fps }),
  });
  if (!result.ok) throw new BadInput(`${options.file}: ${result.message}`);
  const { clip } = result;
  return {
    source: options.file,
    name: basename(options.file),
    rate: clip.rate,
    frameCount: clip.frameCount,
    remarks: [...clip.report.sentences, ...massRemark(options)],
    judge: (reading) => clip.judge(reading),
    sceneAt: (frame) => clip.sceneAt(frame),
  };
}
