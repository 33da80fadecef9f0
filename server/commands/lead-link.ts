import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { asRecord, asText } from '../../core/document/decode.ts';
import { systemClock } from '../clock.ts';
import { askServer } from '../control/ask.ts';
import { type Environment, settingsFrom } from '../settings.ts';
import { DATABASE_FILE, openDatabase } from '../storage/database.ts';
import { InviteStore } from '../storage/invite-store.ts';
import { ReviewStore } from '../storage/review-store.ts';
import { readOnData, told } from './data-folder.ts';
import type { Command } from './types.ts';

/** `counterlean lead-link`: a new lead link, for whoever can read the data folder. */
export const leadLinkCommand = (env: Environment): Command => ({
  usage: 'lead-link [REVIEW] [--data FOLDER]',
  summary: 'Makes a new lead link of a review (the demo when left out) and prints it.',
  async run(args, io) {
    const { data, operand } = readOnData('lead-link', args, env);
    const review = operand ?? 'demo';
    return told('lead-link', async () => {
      const response = await askServer(data, `/lead-link/${encodeURIComponent(review)}`);
      const link =
        response === null
          ? linkOfStopped(data, review, env)
          : asText(asRecord(await response.json())?.link);
      io.out(`${link}\n`);
      return 0;
    });
  },
});

function linkOfStopped(data: string, review: string, env: Environment): string {
  const file = join(data, DATABASE_FILE);
  if (!existsSync(file)) throw new Error(`there is no data at ${file}`);
  const { publicUrl, host, port } = settingsFrom(env);
  const database = openDatabase(file);
  try {
    const reviews = new ReviewStore(database, systemClock);
    if (reviews.review(review) === null) throw new Error(`there is no review "${review}"`);
    const { capability } = new InviteStore(database, systemClock).add(review, 'lead');
    return `${publicUrl ?? `http://${host}:${port}`}/join/${capability}`;
  } finally {
    database.close();
  }
}
