import { systemClock } from './clock.ts';
import { jsonLog, textLog } from './log.ts';
import { serve } from './serve.ts';
import { type Environment, settingsFrom } from './settings.ts';

/**
 * Runs the server until it is told to stop (SIGINT or SIGTERM; a second one ends it at once).
 * @returns the exit code
 */
export async function runServer(env: Environment): Promise<number> {
  try {
    const { secret, logFormat, ...settings } = settingsFrom(env);
    const { url, leadLink, close } = await serve({
      ...settings,
      log: logFormat === 'json' ? jsonLog(() => systemClock.now()) : textLog(),
      processMetrics: true,
      ...(secret === null ? {} : { secret }),
    });
    console.log(`The page:      ${url}/`);
    if (leadLink !== null) {
      console.log(`The lead link: ${leadLink}`);
      console.log(
        'Whoever has the lead link leads the review. "counterlean lead-link" makes a new one.',
      );
    }
    await toldToStop();
    await close();
    return 0;
  } catch (cause) {
    console.error(cause instanceof Error ? cause.message : cause);
    return 1;
  }
}

function toldToStop(): Promise<void> {
  return new Promise((resolve) => {
    let told = false;
    const stop = (): void => {
      if (told) process.exit(1);
      told = true;
      resolve();
    };
    process.on('SIGINT', stop);
    process.on('SIGTERM', stop);
  });
}
