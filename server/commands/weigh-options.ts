import { parseArgs } from 'node:util';
import { VERDICTS, type Verdict } from '../../core/balance/index.ts';
import { TABLES, type TableName } from '../../core/body/index.ts';
import { BadInput } from './types.ts';

export interface WeighOptions {
  readonly file: string;
  readonly frame: number | null;
  readonly mass: number | null;
  readonly stature: number | null;
  /** Metres a unit of the file; of a picture metres a pixel. */
  readonly scale: number | null;
  readonly table: TableName | null;
  /** Frames a second, for clips of keys; those that the keys stand on when null. */
  readonly fps: number | null;
  /** Name or number of the animation, for files of several. */
  readonly animation: string | null;
  /** Pixels that the first figure of a picture would be tall if it stood upright. */
  readonly standing: number | null;
  /** Lean of true up to the right in a picture, degrees. */
  readonly tilt: number | null;
  readonly atRest: boolean;
  readonly output: 'text' | 'json' | 'csv';
  readonly picture: string | null;
  readonly strip: string | null;
  readonly failOn: readonly Verdict[];
}

export const WEIGH_USAGE = [
  'weigh FILE [--frame N] [--at-rest] [--mass KG] [--stature M] [--scale S] [--table T]',
  '[--fps N] [--animation NAME] [--standing PIXELS] [--tilt DEGREES]',
  '[--json | --csv] [--picture OUT.svg] [--strip OUT.svg] [--fail-on VERDICTS]',
].join('\n      ');

/** Throws BadInput for words that mean nothing or do not go together. */
export function readWeighOptions(args: readonly string[]): WeighOptions {
  const { values, positionals } = parse(args);
  const [file, ...more] = positionals;
  if (file === undefined) throw new BadInput('weigh needs a file: counterlean weigh FILE');
  if (more.length > 0)
    throw new BadInput(`weigh reads one file at a time; "${more[0]}" is one too many`);
  const table = values.table ?? null;
  if (table !== null && !(TABLES as readonly string[]).includes(table))
    throw new BadInput(`--table: expected one of ${TABLES.join(', ')}, got "${table}"`);
  if (values.json && values.csv)
    throw new BadInput('--json and --csv are two ways to print; give one of them');
  if (values.strip !== undefined && values.frame !== undefined)
    throw new BadInput('--strip shows all frames of a clip and does not go with --frame');
  const tilt = number('--tilt', values.tilt, { above: -90 });
  if (tilt !== null && tilt >= 90)
    throw new BadInput(`--tilt: expected a number below 90, got "${values.tilt}"`);
  return {
    file,
    frame: number('--frame', values.frame, { whole: true, above: -1 }),
    mass: number('--mass', values.mass, { above: 0 }),
    stature: number('--stature', values.stature, { above: 0 }),
    scale: number('--scale', values.scale, { above: 0 }),
    table: table as TableName | null,
    fps: number('--fps', values.fps, { above: 0 }),
    animation: values.animation ?? null,
    standing: number('--standing', values.standing, { above: 0 }),
    tilt,
    atRest: values['at-rest'] ?? false,
    output: values.json ? 'json' : values.csv ? 'csv' : 'text',
    picture: values.picture ?? null,
    strip: values.strip ?? null,
    failOn: verdicts(values['fail-on']),
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
        fps: { type: 'string' },
        animation: { type: 'string' },
        standing: { type: 'string' },
        tilt: { type: 'string' },
        'at-rest': { type: 'boolean' },
        json: { type: 'boolean' },
        csv: { type: 'boolean' },
        picture: { type: 'string' },
        strip: { type: 'string' },
        'fail-on': { type: 'string' },
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

/** On screen a verdict of `unknown` reads "cannot tell". */
const CANNOT_TELL = 'cannot-tell';

function verdicts(text: string | undefined): readonly Verdict[] {
  if (text === undefined) return [];
  return text.split(',').map((word) => {
    const named = word.trim() === CANNOT_TELL ? 'unknown' : word.trim();
    const verdict = VERDICTS.find((known) => known === named);
    if (verdict !== undefined) return verdict;
    const known = VERDICTS.map((one) => (one === 'unknown' ? CANNOT_TELL : one)).join(', ');
    throw new BadInput(`--fail-on: expected some of ${known}, with commas, got "${word.trim()}"`);
  });
}
