import { runServer } from './run.ts';

// The server as a process. Leaving by itself would wait for timers that no longer matter.
process.exit(await runServer(process.env));
