import { randomUUID } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { hostname } from 'node:os';

/** After this long a mark of another machine, whose processes cannot be looked at from here, counts as left behind. */
const FOREIGN_MS = 3_600_000;

/**
 * A name for a temporary folder that says which process made it: `machine_process_start_random`. It decides nothing but who
 * may clean up, and no output holds it.
 */
export function processMark(): string {
  return [machine(), process.pid, startOf(process.pid) ?? 0, randomUUID()].join('_');
}

/**
 * Whether the process behind a mark is gone: killed, or its number taken by a later one. A mark of another machine counts
 * as left behind an hour after the folder was touched; anything that is no mark was not made by us and is never judged gone.
 * @param touchedMs when the folder with this mark last changed
 */
export function isGone(mark: string, touchedMs: number): boolean {
  const match = /^(.*)_(\d+)_(\d+)_[0-9a-f-]{36}$/.exec(mark);
  if (match === null) return false;
  if (match[1] !== machine()) return Date.now() - touchedMs > FOREIGN_MS;
  const pid = Number(match[2]);
  try {
    process.kill(pid, 0);
  } catch (error) {
    // EPERM: it lives and belongs to somebody else.
    return (error as NodeJS.ErrnoException).code === 'ESRCH';
  }
  const start = startOf(pid);
  return start !== undefined && match[3] !== '0' && start !== Number(match[3]);
}

/** `process 1234 on this machine`, for people who find a lock. */
export function whoseMark(mark: string): string {
  const [host, pid] = mark.split('_');
  return host === machine() ? `process ${pid ?? '?'}` : `process ${pid ?? '?'} on ${host ?? '?'}`;
}

function machine(): string {
  return hostname()
    .replace(/[^A-Za-z0-9-]/g, '-')
    .slice(0, 40);
}

/** Clock ticks from boot to the start of a process; undefined where the system does not tell. */
function startOf(pid: number): number | undefined {
  try {
    // The second field is the program's name in brackets and may hold anything; the start is the 20th field after it.
    const stat = readFileSync(`/proc/${pid}/stat`, 'utf8');
    return Number(stat.slice(stat.lastIndexOf(')') + 2).split(' ')[19]);
  } catch {
    return undefined;
  }
}
