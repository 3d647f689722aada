import { dirname, isAbsolute, join, relative, resolve } from 'node:path';
import { errorCode, nodeFiles, type FileOps } from './fileOps.js';
import { takeLock } from './folderLock.js';
import { isGone, processMark } from './processMark.js';

/** Everything temporary begins with this, and nothing else does. */
const PREFIX = '.sightstage-';
const LOCK = `${PREFIX}lock`;

/** What a file system without symbolic links (or a user who may not make them) answers. */
const NO_LINKS = new Set(['EPERM', 'EACCES', 'ENOSYS', 'ENOTSUP', 'EOPNOTSUPP', 'EINVAL', 'UNKNOWN']);

interface Place {
  readonly fs: FileOps;
  readonly folder: string;
  /** Our own temporary folder inside `folder`; holds `new/`, `old/` and, while switching, the link `current`. */
  readonly stage: string;
}

/**
 * Writes a set of files into a folder so that a reader, and a run killed at any moment, meets all of the old set or all of
 * the new one, never some of each.
 *
 * The new set is first written whole into a temporary folder beside. Then each final name becomes a link by way of one link,
 * `current`, which shows the old set; one rename turns `current` to the new set; then plain files take the places of the
 * links again. Each step leaves every name reading what it read before, except the one that turns them all.
 *
 * What a killed run left is put in order by the next one. Two runs at once take turns. Other files of the folder are left
 * alone; a name that is a link is replaced, what it points to is not touched. Where the system makes no symbolic links, the
 * files are renamed one after another: each is whole, and only a run killed between two renames leaves some of each.
 *
 * @param files name in the folder -> text, or the bytes of a picture
 * @param options.owned names that belong to the set and are removed when they are not among `files` (default: none)
 * @throws Error naming the folder and the reason, with the old set in place and nothing temporary left
 * @example await writeFileSet('out/larch-creek', new Map([['chart.md', '# …'], ['chart.csv', '…']]))
 */
export async function writeFileSet(
  folder: string,
  files: ReadonlyMap<string, string | Uint8Array>,
  { owned = [], fs = nodeFiles }: { owned?: readonly string[]; fs?: FileOps } = {},
): Promise<void> {
  const mark = processMark();
  const place: Place = { fs, folder, stage: join(folder, PREFIX + mark) };
  const names = [...new Set([...files.keys(), ...owned])];
  try {
    await fs.mkdir(folder, { recursive: true });
    await refuseFolders(place, names);
    await stageFiles(place, files);
    const giveBack = await takeLock(folder, LOCK, { fs, mark, scratch: place.stage });
    try {
      await clearUp(place);
      await turn(place, files, names);
    } finally {
      // Whichever set the names read now, they go on reading it; what cannot be tidied here the next run tidies.
      await settle(place).catch(() => settle(place).catch(() => undefined));
      await giveBack().catch(() => undefined);
    }
  } catch (error) {
    throw new Error(
      `cannot write into ${folder}: ${(error as Error).message}. What stood there before stands there still.`,
      { cause: error },
    );
  } finally {
    await discard(place);
  }
}

/** A folder under a file's name cannot be replaced by a rename; better said before anything is touched. */
async function refuseFolders({ fs, folder }: Place, names: readonly string[]): Promise<void> {
  for (const name of names)
    if ((await kindOf(join(folder, name), fs)) === 'folder')
      throw new Error(`${name} is a folder there; move it away (EISDIR)`);
}

/** The new set, written whole into the temporary folder. */
async function stageFiles({ fs, stage }: Place, files: ReadonlyMap<string, string | Uint8Array>): Promise<void> {
  for (const path of [stage, join(stage, 'new'), join(stage, 'old')]) await fs.mkdir(path);
  for (const [name, content] of files) await fs.writeNew(join(stage, 'new', name), content);
}

/** Our folder goes, unless names still lead into it: then the next run puts them in order. */
async function discard(place: Place): Promise<void> {
  try {
    if ((await linksInto(place)).length === 0) await place.fs.remove(place.stage);
  } catch {
    return;
  }
}

/** Up to the one rename that shows the new set; an error means that the old one shows. */
async function turn(
  place: Place,
  files: ReadonlyMap<string, string | Uint8Array>,
  names: readonly string[],
): Promise<void> {
  const { fs, folder, stage } = place;
  for (const name of names) await keepOld(place, name);
  try {
    await fs.symlink('old', join(stage, 'current'));
  } catch (error) {
    if (!NO_LINKS.has(errorCode(error))) throw error;
    return renameEach(place, files, names);
  }
  const into = linkInto(place);
  for (const name of names) {
    await fs.symlink(into + name, join(stage, 'link'));
    await fs.rename(join(stage, 'link'), join(folder, name));
  }
  await fs.symlink('new', join(stage, 'next'));
  await fs.rename(join(stage, 'next'), join(stage, 'current'));
}

/** The present file once more, under `old/`. */
async function keepOld({ fs, folder, stage }: Place, name: string): Promise<void> {
  const [from, to] = [join(folder, name), join(stage, 'old', name)];
  const kind = await kindOf(from, fs);
  if (kind === 'nothing') return;
  if (kind === 'link') {
    const target = await fs.readlink(from);
    return fs.symlink(isAbsolute(target) ? target : resolve(dirname(from), target), to);
  }
  try {
    await fs.link(from, to);
  } catch {
    // No hard links here: a copy shows the same bytes.
    await fs.copyFile(from, to);
  }
}

/** Where a name that is a link into our temporary folder leads; relative, so that the whole output may be moved. */
function linkInto({ stage, folder }: Place): string {
  return `${relative(folder, stage)}/current/`;
}

async function linksInto(place: Place): Promise<readonly string[]> {
  const { fs, folder } = place;
  const found: string[] = [];
  for (const name of await fs.readdir(folder)) {
    const path = join(folder, name);
    if (
      (await kindOf(path, fs)) === 'link' &&
      (await fs.readlink(path)).replaceAll('\\', '/') === linkInto(place) + name
    )
      found.push(name);
  }
  return found;
}

/** Puts plain files in the place of links into a temporary folder, each reading what the link read; then nothing leads there. */
async function settle(place: Place): Promise<void> {
  const { fs, folder, stage } = place;
  for (const name of await linksInto(place)) {
    const shown = join(stage, await fs.readlink(join(stage, 'current')), name);
    if ((await kindOf(shown, fs)) === 'nothing') await fs.unlink(join(folder, name));
    else await fs.rename(shown, join(folder, name));
  }
}

/** Puts in order what killed runs left. Only with the lock. */
async function clearUp({ fs, folder, stage }: Place): Promise<void> {
  for (const entry of await fs.readdir(folder)) {
    const path = join(folder, entry);
    if (!entry.startsWith(PREFIX) || path === stage || entry === LOCK || !(await isLeftBehind(path, entry, fs)))
      continue;
    await settle({ fs, folder, stage: path });
    await fs.remove(path);
  }
}

async function isLeftBehind(path: string, entry: string, fs: FileOps): Promise<boolean> {
  try {
    const holder = entry.startsWith(`${LOCK}-`) ? (await fs.readdir(path))[0] : entry.slice(PREFIX.length);
    return holder !== undefined && isGone(holder, (await fs.lstat(path)).mtimeMs);
  } catch (error) {
    // A living run has just ended and taken it away.
    if (errorCode(error) === 'ENOENT') return false;
    throw error;
  }
}

/** Without links: one after another, and back again when one of them fails. */
async function renameEach(
  { fs, folder, stage }: Place,
  files: ReadonlyMap<string, string | Uint8Array>,
  names: readonly string[],
): Promise<void> {
  const touched: string[] = [];
  try {
    for (const name of names) {
      touched.push(name);
      if (files.has(name)) await fs.rename(join(stage, 'new', name), join(folder, name));
      else await fs.remove(join(folder, name));
    }
  } catch (error) {
    for (const name of touched) {
      const old = join(stage, 'old', name);
      if ((await kindOf(old, fs)) === 'nothing') await fs.remove(join(folder, name));
      else await fs.rename(old, join(folder, name));
    }
    throw error;
  }
}

async function kindOf(path: string, fs: FileOps): Promise<'nothing' | 'folder' | 'link' | 'file'> {
  try {
    const stat = await fs.lstat(path);
    return stat.isDirectory() ? 'folder' : stat.isSymbolicLink() ? 'link' : 'file';
  } catch (error) {
    if (errorCode(error) === 'ENOENT') return 'nothing';
    throw error;
  }
}
