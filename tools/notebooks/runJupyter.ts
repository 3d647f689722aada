import { spawn } from 'node:child_process';
import { jupyterCommand } from './jupyterHome.js';

/** Runs jupyter to its end and returns what it wrote to its output. Its own talk is shown only when it fails. */
export async function runJupyter(
  args: readonly string[],
  { cwd, env }: { cwd: string; env: NodeJS.ProcessEnv },
): Promise<string> {
  const child = spawn(jupyterCommand(), args, { cwd, env, stdio: ['ignore', 'pipe', 'pipe'] });
  let out = '';
  let talk = '';
  child.stdout.setEncoding('utf8').on('data', (text: string) => (out += text));
  child.stderr.setEncoding('utf8').on('data', (text: string) => (talk += text));
  const code = await new Promise<number | null>((resolve, reject) => {
    child.on('error', reject);
    child.on('close', resolve);
  });
  if (code !== 0) throw new Error(`jupyter ${args.join(' ')} ended with ${String(code)}:\n${talk.trim()}`);
  return out;
}
