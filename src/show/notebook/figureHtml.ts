import type { Figure } from '../../chart/figures/figure.js';
import { escapeHtml, jsonForScript } from '../escape.js';
import { figureSvg } from '../svg/figureSvg.js';

/** What plotly is told beside the figure: no toolbar, no link anywhere, no call home. */
export const PLOTLY_CONFIG = Object.freeze({ displayModeBar: false, displaylogo: false, responsive: true });

/** Narrower places get the figure as it is planned for a phone. */
const NARROW_BELOW_PX = 560;

/** The plot library's source as a script that leaves `Plotly` on the page, also where a module loader listens for `define`. */
export function libraryHtml(source: string): string {
  const guarded = `(function(){var define,module,exports;${source.replaceAll('</script', '<\\/script')}\n}).call(window);`;
  return `<script>if(!window.Plotly){${guarded}}</script>`;
}

/**
 * A figure as HTML: the static picture, and plotly's in its place once the library is on the page. Without a script, or
 * without the library, the static one stays; on paper too.
 */
export function figureHtml(figure: Figure, id: string): string {
  const { data, layout } = figure;
  const narrow = Object.fromEntries(
    Object.entries(figure.narrow).filter(([key, value]) => JSON.stringify(layout[key]) !== JSON.stringify(value)),
  );
  const spec = jsonForScript({ data, layout: { ...layout, autosize: true }, narrow, config: PLOTLY_CONFIG });
  return [
    `<figure style="margin:0;max-width:760px">`,
    `<div id="${id}" class="sightstage-live" role="img" aria-label="${escapeHtml(figure.alt)}" style="display:none"></div>`,
    `<div id="${id}-static" class="sightstage-static">${figureSvg(figure)}</div>`,
    `<figcaption style="font-size:.9em">${escapeHtml(figure.title)}. ${escapeHtml(figure.alt)}</figcaption>`,
    `</figure>`,
    `<script>(function(){`,
    `if(!window.Plotly)return;`,
    `var at=document.getElementById(${jsonForScript(id)}),still=document.getElementById(${jsonForScript(`${id}-static`)});`,
    `if(!at||!still)return;`,
    `var spec=${spec};`,
    `at.style.display='block';`,
    `if(at.clientWidth>0&&at.clientWidth<${NARROW_BELOW_PX})Object.assign(spec.layout,spec.narrow);`,
    `window.Plotly.newPlot(at,spec.data,spec.layout,spec.config).then(function(){still.style.display='none';});`,
    `})();</script>`,
  ].join('\n');
}
