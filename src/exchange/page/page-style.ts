import {
  DARK_GROUND,
  DARK_STROKES,
  GROUND,
  type Ground,
  type Role,
  STROKES,
  type Stroke,
} from '../palette.js';

function variables(ground: Ground, strokes: Readonly<Record<Role, Stroke>>): string {
  const grounds = Object.entries(ground).map(([name, colour]) => `--${name}:${colour}`);
  const lines = Object.entries(strokes).flatMap(([name, { line, text }]) => [
    `--${name}-line:${line}`,
    `--${name}-text:${text}`,
  ]);
  return [...grounds, ...lines].join(';');
}

/** The preview page's style: the palette in light and dark, and a layout that folds on small screens. */
export const PAGE_STYLE = `
:root{color-scheme:light dark;${variables(GROUND, STROKES)}}
@media (prefers-color-scheme:dark){:root{${variables(DARK_GROUND, DARK_STROKES)}}}
*{box-sizing:border-box}
[hidden]{display:none!important}
body{margin:0;padding:1.2rem clamp(.8rem,3vw,2.4rem) 7.5rem;background:var(--paper);color:var(--ink);
font:16px/1.45 'Source Sans 3','Noto Sans','Segoe UI','Helvetica Neue',Arial,sans-serif}
h1{font-size:1.45rem;margin:0 0 .2rem}
h2{font-size:1.02rem;margin:0;overflow-wrap:anywhere}
p{margin:0 0 .5rem}
.facts,.hint,footer{color:var(--muted);font-size:.88rem}
fieldset{border:0;margin:.6rem 0 1rem;padding:0;display:flex;flex-wrap:wrap;gap:.4rem 1.2rem}
legend{float:left;margin-right:1rem;font-weight:600}
label{display:inline-flex;gap:.45rem;align-items:center}
#panels{display:grid;gap:1.1rem;grid-template-columns:repeat(auto-fit,minmax(min(100%,19rem),1fr));max-width:calc(var(--shown,1)*34rem)}
.panel{background:var(--panel);border-top:4px solid var(--ink);padding:.8rem 1rem 1rem}
@media (min-width:56rem){#panels.alone{max-width:68rem}#panels.alone .panel{display:grid;grid-template-columns:1fr 1fr;gap:0 2rem;align-items:start}
.alone h2,.alone .facts{grid-column:1/-1}}
.stage,.chart{display:block;width:100%;height:auto}
.ground{fill:none;stroke:var(--muted);stroke-width:1.4}
.print{fill:none;stroke-width:3;stroke-linecap:round;stroke-opacity:.55}
.print.left{stroke:var(--left-line)}
.print.right{stroke:var(--right-line)}
.limb{stroke-linejoin:round}
.limb:not(.foot){stroke:var(--panel);stroke-width:var(--edge,1px)}
.foot.left{stroke:var(--left-line)}
.foot.right{stroke:var(--right-line)}
.limb.left{fill:var(--left-line)}
.limb.right{fill:var(--right-line)}
.arrow.left,.line.left{stroke:var(--left-line)}
.arrow.right,.line.right{stroke:var(--right-line)}
.trunk{fill:var(--muted)}
.head{stroke:var(--panel);stroke-width:1}
.part{fill:var(--follower-line);stroke:var(--panel);stroke-width:1}
.strand{stroke:none}
.cloth{fill:var(--follower-line);stroke:var(--panel);stroke-width:.8;stroke-linejoin:round;fill-opacity:.9}
.cloth.back{fill-opacity:.55}
.trail{fill:none;stroke:var(--rule);stroke-width:1}
.beads{fill:none;stroke:var(--muted);stroke-width:3;stroke-linecap:round}
.arrow{fill:none;stroke-width:3.6}
.arrow.left{stroke-dasharray:7 4}
.tip.left{fill:var(--left-line)}
.tip.right{fill:var(--right-line)}
.force{font-size:12px;font-weight:600}
.force.left{fill:var(--left-text)}
.force.right{fill:var(--right-text)}
.heading{font-size:12.5px;font-weight:600;fill:var(--ink)}
.tick{font-size:11px;fill:var(--muted);text-anchor:end}
.tick.middle{text-anchor:middle}
.tick.begin{text-anchor:start;font-weight:600}
.tick.left{fill:var(--left-text)}
.tick.right{fill:var(--right-text)}
.contact{stroke:var(--rule);stroke-width:1;stroke-dasharray:1.5 3}
.rule{stroke:var(--faint);stroke-width:1;fill:none}
.rule.strong{stroke:var(--muted)}
.line{fill:none;stroke-width:1.8;stroke-linejoin:round}
.line.total{stroke:var(--ink);stroke-width:4}
.line.left{stroke-dasharray:6 3}
.line.root{stroke:var(--root-line);stroke-width:2.2}
.line.part{stroke:var(--follower-line);stroke-width:2.2}
.cursor{stroke:var(--ink);stroke-width:1.2}
.bar{position:fixed;left:0;right:0;bottom:0;background:var(--panel);border-top:1px solid var(--rule);
padding:.7rem clamp(.8rem,3vw,2.4rem);display:flex;flex-wrap:wrap;gap:.5rem 1.1rem;align-items:center}
.bar .scrub{flex:1 1 14rem}
#scrub{width:100%;accent-color:var(--right-line)}
button,select{font:inherit;color:var(--ink);background:var(--paper);border:1px solid var(--muted);border-radius:3px;padding:.32rem .8rem;min-height:2.2rem}
button:hover{border-color:var(--ink)}
#play{min-width:5.4rem;font-weight:600}
:focus-visible{outline:3px solid var(--left-line);outline-offset:2px}
@media (max-width:560px){.bar{gap:.35rem .6rem;font-size:.88rem;padding:.5rem .8rem}.bar button,.bar select{padding:.15rem .5rem}#play{min-width:4.4rem}.bar .scrub{flex:1 1 100%;order:-1}}
.aside{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%);white-space:nowrap}
`.trim();
