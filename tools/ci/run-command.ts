import { spawn } from 'node:child_process';

/** What a command left behind. */
export interface CommandResult {
  /** Exit code; null when it was stopped. */
  readonly code: number | null;
  /** How long it took, in s. */
  readonly seconds: number;
}

/** Runs a command with its output shown as it comes and nothing on its standard input. */
export function runCommand(
  command: string,
  args: readonly string[],
  options: { env?: Readonly<Record<string, string>>; limitSeconds?: number } = {},
): Promise<CommandResult> {
  const from = performance.now();
  return new Promise((resolve) => {
    const child = spawn(command, args, {
      stdio: ['ignore', 'inherit', 'inherit'],
      env: { ...process.env, ...options.env },
      // A group of its own, so that stopping it stops what it has started as well.
      detached: true,
    });
    const limitSeconds = options.limitSeconds ?? 600;
    const timer = setTimeout(() => {
      console.error(`${command} ${args.join(' ')}: stopped after ${limitSeconds} s`);
      if (child.pid) process.kill(-child.pid, 'SIGKILL');
    }, limitSeconds * 1000);
    const finish = (code: number | null) => {
      clearTimeout(timer);
      resolve({ code, seconds: (performance.now() - from) / 1000 });
    };
    child.on('error', (error) => {
      console.error(`${command}: ${error.message}`);
      finish(null);
    });
    child.on('close', finish);
  });
}
