import { spawnSync } from 'node:child_process';
import { resolve } from 'node:path';

/** What a command left behind. */
export interface Outcome {
  readonly code: number | null;
  readonly stdout: string;
  /** Standard output and standard error, for messages. */
  readonly output: string;
}

/** Runs Node on the arguments in a folder and waits for it. */
export function runNode(folder: string, args: readonly string[]): Outcome {
  const { status, stdout, stderr } = spawnSync(process.execPath, args, {
    cwd: folder,
    encoding: 'utf8',
    stdio: ['ignore', 'pipe', 'pipe'],
    maxBuffer: 64 * 1024 * 1024,
  });
  return { code: status, stdout, output: `${stdout}${stderr}` };
}

/** Runs a tool installed in this repository: `runTool('.', 'typescript/bin/tsc', ['-p', '.'])`. */
export function runTool(folder: string, script: string, args: readonly string[]): Outcome {
  return runNode(folder, [resolve('node_modules', script), ...args]);
}
