/** What a page or a script would set if any of these ran. */
export const RAN = '__ranHere';
/** Any request here would be a call home; the name is reserved and leads nowhere (RFC 2606). */
export const HOME = 'home.invalid';

/** Markup and script, for pages and pictures; each short enough for a class word. */
export const MARKUP: readonly string[] = [
  `<script>${RAN}=1</script>`,
  `</script><script>${RAN}=1</script>`,
  `</title><script>${RAN}=1</script>`,
  `</style><script>${RAN}=1</script>`,
  `<img src=x onerror=${RAN}=1>`,
  `"><svg onload=${RAN}=1>`,
  `' onmouseover='${RAN}=1`,
  `" autofocus onfocus="${RAN}=1`,
  `<a href="javascript:${RAN}=1">go</a>`,
  `<a href="//${HOME}">go</a>`,
  `<iframe srcdoc="<script>${RAN}=1</script>">`,
  `<meta http-equiv=refresh content="0;//${HOME}">`,
  `<base href="//${HOME}/">`,
  `<link rel=stylesheet href=//${HOME}/a>`,
  `<style>@import"//${HOME}/a";</style>`,
  `<form action=//${HOME}><input>`,
  `<object data=//${HOME}/a></object>`,
  `<b>%{x}</b><br>`,
  `<!--`,
  `]]>`,
  `<foreignObject><b>`,
  `&lt;img src=x onerror=${RAN}=1&gt;`,
  `&#60;img src=x onerror=${RAN}=1&#62;`,
  `\\u003cscript\\u003e${RAN}=1`,
  `\${${RAN}=1}`,
  `{{${RAN}=1}}`,
  `javascript:${RAN}=1`,
  `';${RAN}=1;//`,
  `");${RAN}=1;("`,
];

/** Starts that a spreadsheet takes for a formula. */
export const FORMULAS: readonly string[] = [
  `=HYPERLINK("http://${HOME}","x")`,
  `+1+cmd|' /C calc'!A0`,
  '-2+3',
  '@SUM(1)',
  ' =1+1',
  '\uff1d1+1',
  'a;=1+1',
  'a,=1+1',
  '"=1+1',
];

/** Markdown that would become a link, a picture, a heading, a table cell, code or mathematics. */
export const MARKDOWN: readonly string[] = [
  `[a](javascript:${RAN}=1)`,
  `![a](http://${HOME}/a.png)`,
  `http://${HOME}`,
  `www.${HOME}`,
  `<http://${HOME}>`,
  '# a',
  '> a',
  '- a',
  '1. a',
  '1) a',
  '```',
  '    a',
  'a | b',
  '`a`',
  '***a***',
  '~~a~~',
  '$a$',
  '[a]: b',
  '[^1]',
  '---',
  '===',
  '- [ ] a',
  '\\',
  '@somebody #1',
];

/** What a terminal obeys, and what shows nothing of itself. */
export const TERMINAL: readonly string[] = [
  '\u001b[2J\u001b[31m',
  `\u001b]8;;http://${HOME}\u0007L\u001b]8;;\u0007`,
  '\u001b]0;title\u001b\\',
  '\u001bP1;2|a\u001b\\',
  '\u001b_a\u001b\\',
  '\u009b31m',
  `\u009d8;;http://${HOME}\u009cL`,
  '\u0007\u0008\u0008\u007f',
  '\u0000',
  '\u000b\u000c',
  '\u202e321\u202c',
  '\u2066a\u2069',
  '\u200f1',
  '\u061c',
  '\u200b\u200c\u200d\u2060',
  '\u00ad\u034f\ufeff',
  '\u2028\u2029\u0085',
  '\u{e0041}\u{e007f}',
  '\u3164\u115f',
];

/** Starts and line ends that only a quoted cell of a log can hold. */
export const LINES: readonly string[] = ['\t=1+1', '\r=1+1', '\n=1+1', 'a\r\n\r\n# b', 'a\n\n<b>'];
