import { FONT_STACK } from '../../src/chart/figures/figure.js';
import { ACCENT, INK, INK_SOFT, PAPER, RULE } from '../../src/chart/palette.js';
import { escapeHtml } from '../../src/show/escape.js';
import { joined, type Notebook } from './notebookFile.js';

/**
 * The HTML page of an executed notebook: what nbconvert's bare template makes of the cells, in a page of our own that loads
 * nothing from anywhere. (The full templates ask a network for a module loader and for type.)
 */
export function notebookPage(body: string, { notebook }: { notebook: Notebook }): string {
  const first = joined(notebook.cells[0]?.source);
  const title = /^#\s+(.+)$/m.exec(first)?.[1] ?? 'Notebook';
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<link rel="icon" href="data:,">
<title>${escapeHtml(title)}</title>
<style>${STYLE}</style>
</head>
<body>
<main>
${body}
</main>
</body>
</html>
`;
}

const MONO = 'ui-monospace, "Cascadia Mono", "DejaVu Sans Mono", Menlo, Consolas, monospace';

const STYLE = `
:root{color-scheme:light}
*{box-sizing:border-box}
body{margin:0;background:${PAPER};color:${INK};font:1rem/1.55 ${FONT_STACK}}
main{max-width:56rem;margin:0 auto;padding:2rem 1rem 4rem}
h1{font-size:2rem;line-height:1.2;margin:0 0 .6rem}
h2{font-size:1.4rem;margin:2.2rem 0 .4rem;padding-top:1rem;border-top:3px solid ${INK}}
p,ul,ol{margin:.6rem 0}
a{color:inherit}
.anchor-link,.prompt,.input_prompt,.out_prompt_overlay{display:none}
code,pre{font:.8rem/1.45 ${MONO}}
.input_area{border-left:3px solid ${RULE};padding:.2rem 0 .2rem .8rem;margin:.8rem 0;background:#f6f7f7;overflow-x:auto}
.input_area pre{margin:0}
.output_text pre,.output_stream pre{margin:.4rem 0;overflow-x:auto;white-space:pre-wrap}
.output_stderr{color:${ACCENT};font-weight:600}
.k,.kr,.kd,.kc,.ow{font-weight:600}
.s1,.s2,.sb{color:${ACCENT}}
.c1,.cm{color:${INK_SOFT};font-style:italic}
table{font-size:.9rem;margin:.4rem 0 1rem;display:block;overflow-x:auto;max-width:100%}
th,td{border-bottom:1px solid ${RULE};vertical-align:top}
figure{margin:.8rem 0}
figcaption{color:${INK_SOFT};font-size:.88rem}
svg{max-width:100%;height:auto}
@media (max-width:40rem){main{padding:1rem 1rem 3rem}caption{white-space:normal!important;min-width:min(18rem,calc(100vw - 2rem))!important;max-width:calc(100vw - 2rem);position:sticky;left:0}}
@media print{table{display:table;overflow:visible}main{max-width:none;padding:0}.sightstage-live{display:none!important}.sightstage-static{display:block!important}figure,table{break-inside:avoid}}
`;
