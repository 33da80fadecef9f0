import type { Environment } from '../settings.ts';
import { BadInput, type Command } from './types.ts';

/** `counterlean serve`: the server until it is stopped. */
export const serveCommand = (env: Environment): Command => ({
  usage: 'serve',
  summary: 'Runs the server; its settings are the environment variables of the README.',
  async run(args) {
    if (args.length > 0) {
      throw new BadInput(`serve takes no options; "${args[0]}" is a setting of the environment`);
    }
    const { runServer } = await import('../run.ts');
    return runServer(env);
  },
});
