import { existsSync } from 'node:fs';
import type { Environment } from '../settings.ts';
import { restore } from '../storage/restore.ts';
import { readOnData, told } from './data-folder.ts';
import { BadInput, type Command } from './types.ts';

/** `counterlean restore FILE`: a kept file back in its place. */
export const restoreCommand = (env: Environment): Command => ({
  usage: 'restore FILE [--data FOLDER]',
  summary: 'Brings a kept file back; what is there now is put aside. Not while the server runs.',
  async run(args, io) {
    const { data, operand: file } = readOnData('restore', args, env);
    if (file === null) throw new BadInput('restore needs a file: counterlean restore FILE');
    return told('restore', async () => {
      if (!existsSync(file)) throw new Error(`there is no file ${file}`);
      const { reviews, aside } = restore(data, file, new Date());
      const what = reviews === 1 ? '1 review' : `${reviews} reviews`;
      const before = aside === null ? '' : ` What was there before is in ${aside}.`;
      io.out(`${data}: ${what} restored from ${file}.${before}\n`);
      return 0;
    });
  },
});
