import type { LiveDraft } from './types.ts';

/** Whether the figures of a draft were fitted to pictures: depth is assumed, and every frame a held pose. */
export const isPictured = ({ clip }: Pick<LiveDraft, 'clip'>): boolean =>
  clip.kind === 'ready' && clip.read.judge !== null;
