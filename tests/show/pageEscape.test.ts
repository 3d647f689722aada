import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { csvCell, escapeHtml, jsonForScript, plotlyText, terminalText } from '../../src/show/escape.js';

describe('escapeHtml', () => {
  it('turns every character that HTML acts on into an entity', () => {
    expect(escapeHtml(`<img src=x onerror='a("b")'>&\``)).toBe(
      '&lt;img src=x onerror=&#39;a(&quot;b&quot;)&#39;&gt;&amp;&#96;',
    );
  });
  it('drops controls and marks that reorder text, and keeps letters of any script', () => {
    expect(escapeHtml('a\u0000b\u202e12\u2066\u2028 ü 水')).toBe('ab12 ü 水');
  });
  it('leaves no raw bracket or quote of any text', () => {
    fc.assert(fc.property(fc.string(), (text) => !/[<>"'`]/.test(escapeHtml(text))));
  });
});

describe('jsonForScript', () => {
  it('cannot end the script element nor open a comment', () => {
    const text = jsonForScript({ a: '</script><!--', b: '\u2028\u2029' });
    expect(text).not.toMatch(/[<>&\u2028\u2029]/);
    expect(JSON.parse(text)).toEqual({ a: '</script><!--', b: '\u2028\u2029' });
  });
  it('gives any text back', () => {
    fc.assert(fc.property(fc.string(), (text) => JSON.parse(jsonForScript(text)) === text));
  });
  it('refuses what JSON cannot hold', () => {
    expect(() => jsonForScript(undefined)).toThrow(
      new TypeError('jsonForScript: JSON cannot hold a value of type undefined'),
    );
  });
});

describe('csvCell', () => {
  it.each([
    ['=HYPERLINK("x")', `"'=HYPERLINK(""x"")"`],
    ['+1', "'+1"],
    ['-1', "'-1"],
    ['@sum', "'@sum"],
    ['\tx', `"'\tx"`],
    ['\rx', `"'\rx"`],
    ['  =1', "'  =1"],
    ['a,b', '"a,b"'],
    ['a "b"', '"a ""b"""'],
    ['two\nlines', '"two\nlines"'],
    ['a;=1', "a;'=1"],
    ['a; "+1', `"a;' ""+1"`],
    ['low; 12', 'low; 12'],
    ['plain text', 'plain text'],
    ['', ''],
  ])('writes %j as %j', (text, cell) => {
    expect(csvCell(text)).toBe(cell);
  });
});

describe('plotlyText', () => {
  it('escapes the small HTML that plotly draws', () => {
    expect(plotlyText('<b>low</b> & <a href="x">y</a>')).toBe(
      '&lt;b&gt;low&lt;/b&gt; &amp; &lt;a href="x"&gt;y&lt;/a&gt;',
    );
  });
  it('cuts before it escapes, so that no entity is cut in two', () => {
    expect(plotlyText('<<<<<<', { maxChars: 3 })).toBe('&lt;&lt;…');
    expect(plotlyText('good', { maxChars: 4 })).toBe('good');
  });
  it('drops controls and folds line ends', () => {
    expect(plotlyText(' a\u0007\n b\u202e ')).toBe('a b');
  });
});

describe('terminalText', () => {
  it('strips escape sequences and controls', () => {
    expect(terminalText('\u001b[31mred\u001b[0m\u0007\nnext')).toBe('red next');
  });
});
