import { join } from 'node:path';
import { build } from 'vite';
import { projectRoot } from '../../server/paths.ts';

/**
 * Builds a program of the tests; built code starts in a fraction of the time that sources take.
 * @param source parts of its path below `tests`
 * @param folder name of its folder below `dist`
 * @returns path of the built program
 */
export async function builtProgram(source: readonly string[], folder: string): Promise<string> {
  const outDir = join(projectRoot(), 'dist', folder);
  await build({
    configFile: false,
    root: projectRoot(),
    logLevel: 'error',
    build: {
      ssr: true,
      outDir,
      emptyOutDir: true,
      minify: false,
      target: 'node20',
      rollupOptions: {
        input: join(projectRoot(), 'tests', ...source),
        output: { entryFileNames: 'server.js' },
      },
    },
  });
  return join(outDir, 'server.js');
}
