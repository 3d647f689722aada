import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';

// In a process of its own, as the command runs it.
it('a plan done twice by three workers gives the same numbers, and every step is counted once', () => {
  const script = fileURLToPath(new URL('./poolScript.mjs', import.meta.url));
  const ran = spawnSync(process.execPath, [script], { encoding: 'utf8', timeout: 500_000 });
  expect([ran.status, ran.stdout, ran.stderr]).toEqual([0, 'fine\n', '']);
});
