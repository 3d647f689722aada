/** Plain data in which `{ piece: i }` stands for the i-th piece. */
export interface SharedPieces {
  readonly packed: unknown;
  readonly pieces: readonly unknown[];
}

/** Below this many characters a reference is hardly shorter than the piece. */
const SHORT = 24;

/**
 * Writes every object and list that occurs more than once in plain data once: the figures of a page repeat their axes, fonts
 * and lines all the time. `unpackTrace` puts them back.
 */
export function sharePieces(data: unknown): SharedPieces {
  const textOf = new Map<object, string>();
  const times = new Map<string, number>();
  // Texts grow from the leaves, so that every node is written once.
  const text = (value: unknown): string => {
    if (typeof value !== 'object' || value === null) return JSON.stringify(value);
    const inner = Array.isArray(value)
      ? `[${value.map(text).join(',')}]`
      : `{${entriesOf(value)
          .map(([key, child]) => `${JSON.stringify(key)}:${text(child)}`)
          .join(',')}}`;
    textOf.set(value, inner);
    return inner;
  };
  text(data);
  // What stands inside a piece is written with the piece, once: it counts once.
  const count = (value: unknown): void => {
    if (typeof value !== 'object' || value === null) return;
    const key = textOf.get(value)!;
    times.set(key, (times.get(key) ?? 0) + 1);
    if (times.get(key) === 1) Object.values(value).forEach(count);
  };
  count(data);
  const pieces: unknown[] = [];
  const pieceAt = new Map<string, number>();
  const share = (value: unknown): unknown => {
    if (typeof value !== 'object' || value === null) return value;
    const key = textOf.get(value)!;
    if (key.length < SHORT || times.get(key)! < 2) return shareInside(value);
    let at = pieceAt.get(key);
    if (at === undefined) {
      at = pieces.length;
      pieceAt.set(key, at);
      pieces.push(null);
      pieces[at] = shareInside(value);
    }
    return { piece: at };
  };
  const shareInside = (value: object): unknown =>
    Array.isArray(value)
      ? value.map(share)
      : Object.fromEntries(entriesOf(value).map(([key, child]) => [key, share(child)]));
  return { packed: share(data), pieces };
}

/** What JSON would write of an object. */
function entriesOf(value: object): readonly (readonly [string, unknown])[] {
  return Object.entries(value).filter(([, child]) => child !== undefined);
}
