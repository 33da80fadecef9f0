import { assess } from '../core/balance/index.ts';
import { drawScene } from '../core/drawing/index.ts';
import type { Mechanics } from './routes/context.ts';

// Size of a drawing that is asked for by address: wide enough to print on half a sheet.
const PICTURE = { width: 640, height: 480, theme: 'paper', ground: 'paper' } as const;

/** What core offers, as the server uses it. */
export const mechanics: Mechanics = {
  assess,
  draw: (scene, report, view) => drawScene(scene, report, { ...PICTURE, view }),
  readClip: () => ({ ok: false, message: 'clips cannot be read yet' }),
};
