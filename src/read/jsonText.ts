/** What is wrong with a JSON text by its letters alone: the line of the first place that is no JSON, and keys that an object has twice. */
export interface JsonFaults {
  /** 1-based line; undefined where the text is JSON. */
  readonly line: number | undefined;
  readonly twice: readonly { readonly key: string; readonly lines: readonly [number, number] }[];
}

const STRING = /"(?:[^"\\\u0000-\u001f]|\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4}))*"/.source;
const NUMBER = /-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][+-]?\d+)?/.source;
const TOKEN = new RegExp(`\\s+|(${STRING})|(${NUMBER}|true|false|null)|([{}[\\],:])`, 'y');

/** @see JsonFaults */
export function jsonFaults(text: string): JsonFaults {
  const twice: { key: string; lines: [number, number] }[] = [];
  /** Open lists ('[') and objects, each object with the lines of its keys. */
  const open: (Map<string, number> | '[')[] = [];
  let want: 'value' | 'key' | 'colon' | 'comma' | 'end' = 'value';
  let mayClose = false;
  let line = 1;
  const after = () => (open.length === 0 ? 'end' : 'comma');
  TOKEN.lastIndex = 0;
  for (let at = 0; at < text.length; at = TOKEN.lastIndex) {
    const token = TOKEN.exec(text);
    if (token === null) return { line, twice };
    const [all, string, scalar, mark] = token;
    if (string === undefined && scalar === undefined && mark === undefined) line += all.split('\n').length - 1;
    else if (want === 'key' && string !== undefined) {
      const keys = open.at(-1) as Map<string, number>;
      const key = JSON.parse(string) as string;
      if (keys.has(key)) twice.push({ key, lines: [keys.get(key)!, line] });
      else keys.set(key, line);
      [want, mayClose] = ['colon', false];
    } else if (want === 'value' && (string ?? scalar) !== undefined) [want, mayClose] = [after(), true];
    else if (want === 'value' && mark === '[') [want, mayClose] = [(open.push('['), 'value'), true];
    else if (want === 'value' && mark === '{') [want, mayClose] = [(open.push(new Map()), 'key'), true];
    else if (want === 'colon' && mark === ':') want = 'value';
    else if (want === 'comma' && mark === ',') [want, mayClose] = [open.at(-1) === '[' ? 'value' : 'key', false];
    else if (mayClose && open.length > 0 && mark === (open.at(-1) === '[' ? ']' : '}'))
      [want, mayClose] = [(open.pop(), after()), true];
    else return { line, twice };
  }
  return { line: want === 'end' ? undefined : line, twice };
}
