import { writeFile } from 'node:fs/promises';
import { nodeFiles, type FileOps } from '../../src/show/write/fileOps.js';

/** Which call of the file system goes wrong, counted from 0, and how. */
export interface Fault {
  /** From this call on. */
  readonly at: number;
  /** Only calls of this kind count; default all. */
  readonly kind?: keyof FileOps;
  readonly code: string;
  /** `once`: that call alone fails, as on a full disk; `rest`: nothing works any more, as after a kill. */
  readonly lasts: 'once' | 'rest';
}

/** The machine's file system without the wait for the disk, which makes a hundred writes slow and proves nothing here. */
export const quickFiles: FileOps = { ...nodeFiles, writeNew: (path, text) => writeFile(path, text, { flag: 'wx' }) };

/** The machine's file system with one fault, and the number of calls made so far. */
export function faultyFiles({ at, kind, code, lasts }: Fault): { readonly fs: FileOps; readonly calls: () => number } {
  let calls = 0;
  const fs = new Proxy(
    { ...nodeFiles },
    {
      get(target, name: keyof FileOps) {
        return async (...args: unknown[]) => {
          if (kind === undefined || kind === name) {
            const call = calls++;
            if (call === at || (lasts === 'rest' && call > at))
              throw Object.assign(new Error(`${code}: made to fail, ${name}`), { code });
          }
          return (target[name] as (...all: unknown[]) => Promise<unknown>)(...args);
        };
      },
    },
  );
  return { fs, calls: () => calls };
}
