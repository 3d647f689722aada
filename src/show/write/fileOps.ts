import { copyFile, link, lstat, mkdir, open, readdir, readlink, rename, rm, symlink, unlink } from 'node:fs/promises';

/** The calls of the file system that writing needs, so that a test can let each of them fail. */
export interface FileOps {
  mkdir(path: string, options?: { recursive: boolean }): Promise<unknown>;
  /** Writes a file that must not exist yet, and returns only when its bytes are on the disk. */
  writeNew(path: string, content: string | Uint8Array): Promise<void>;
  copyFile(from: string, to: string): Promise<void>;
  link(from: string, to: string): Promise<void>;
  symlink(target: string, path: string): Promise<void>;
  readlink(path: string): Promise<string>;
  rename(from: string, to: string): Promise<void>;
  unlink(path: string): Promise<void>;
  /** Removes a file or a whole folder; one that is not there is no error. */
  remove(path: string): Promise<void>;
  readdir(path: string): Promise<string[]>;
  lstat(path: string): Promise<{
    isFile(): boolean;
    isDirectory(): boolean;
    isSymbolicLink(): boolean;
    readonly mtimeMs: number;
  }>;
}

/** The file system of this machine. */
export const nodeFiles: FileOps = Object.freeze({
  mkdir,
  copyFile,
  link,
  symlink,
  readlink,
  rename,
  unlink,
  readdir,
  lstat,
  remove: (path: string) => rm(path, { recursive: true, force: true }),
  async writeNew(path: string, content: string | Uint8Array) {
    const handle = await open(path, 'wx');
    try {
      await handle.writeFile(content, 'utf8');
      // Without this a power cut after the rename could leave an empty file under the final name.
      await handle.sync();
    } finally {
      await handle.close();
    }
  },
});

/** The code of a file system error, `unknown` for anything else. */
export function errorCode(error: unknown): string {
  return (error as NodeJS.ErrnoException).code ?? 'unknown';
}
