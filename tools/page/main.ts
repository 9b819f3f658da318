/// <reference lib="dom" />
/// <reference lib="dom.iterable" />
import type { MotionDocument } from '../../src/exchange/document.js';
import { unpackDocument } from '../../src/exchange/page/pack.js';
import { type Chart, makeCharts, sharedRanges } from './charts.js';
import { html, need } from './dom.js';
import { readForces } from './read-forces.js';
import { makeStage, type Stage, type View } from './stage.js';

/** One motion on the page. */
interface Panel {
  readonly document: MotionDocument;
  readonly section: HTMLElement;
  readonly stage: Stage;
  readonly charts: readonly Chart[];
  readonly forcesAt: ReturnType<typeof readForces>;
}

const documents: readonly MotionDocument[] = (
  JSON.parse(need('#motions').textContent ?? '[]') as unknown[]
).map(unpackDocument);
const panels = makePanels(need('#panels'));
const controls = {
  play: need<HTMLButtonElement>('#play'),
  back: need<HTMLButtonElement>('#back'),
  on: need<HTMLButtonElement>('#on'),
  scrub: need<HTMLInputElement>('#scrub'),
  speed: need<HTMLSelectElement>('#speed'),
  view: need<HTMLSelectElement>('#view'),
  steps: need<HTMLInputElement>('#steps'),
  told: need<HTMLElement>('#told'),
};
const still = window.matchMedia('(prefers-reduced-motion: reduce)');

let shown = panels.slice(0, Math.min(3, panels.length));
let time = 0;
let playing = !still.matches;
let last: number | undefined;

function makePanels(parent: Element): Panel[] {
  const ranges = sharedRanges(documents);
  return documents.map((document) => {
    const section = html(parent, 'section', { class: 'panel', 'aria-label': document.name || 'motion' });
    html(section, 'h2', {}, document.name || 'motion');
    html(section, 'p', { class: 'facts' }, factsOf(document));
    const stage = makeStage(section, document);
    const charts = makeCharts(html(section, 'div', { class: 'charts' }), document, ranges);
    return { document, section, stage, charts, forcesAt: readForces(document) };
  });
}

function factsOf({ pace, span, scene }: MotionDocument): string {
  const fps = scene.frameRate.frames / scene.frameRate.seconds;
  const frames = `${Math.round(span.duration * fps * 100) / 100} frames at ${Math.round(fps * 1000) / 1000} a second`;
  return pace
    ? `${pace.speed.toFixed(2)} m/s, step ${pace.stepLength.toFixed(2)} m, stride ${frames}`
    : frames;
}

const rateOf = ({ scene }: MotionDocument): number => scene.frameRate.frames / scene.frameRate.seconds;
const framesOf = (document: MotionDocument): number => document.span.duration * rateOf(document);

/** A motion's own time where the page's clock, set by the first motion shown, stands. */
function ownTime({ span }: MotionDocument): number {
  const leader = shown[0].document.span;
  const own = controls.steps.checked ? (time * span.duration) / leader.duration : time;
  if (span.repeats) return span.start + own;
  return span.start + Math.min(span.duration, own - leader.duration * Math.floor(own / leader.duration));
}

function draw(): void {
  const view = controls.view.value as View;
  for (const { document, stage, charts } of shown) {
    const at = ownTime(document);
    const turns = (at - document.span.start) / document.span.duration;
    stage.draw(at, view);
    const fraction = document.span.repeats ? turns - Math.floor(turns) : Math.min(1, turns);
    for (const chart of charts) chart.point(fraction);
  }
  const leader = shown[0].document;
  const frames = framesOf(leader);
  const turns = time / leader.span.duration;
  const frame = (turns - Math.floor(turns)) * frames;
  controls.scrub.value = String(frame);
  controls.scrub.setAttribute('aria-valuetext', `frame ${(leader.scene.firstFrame + frame).toFixed(1)}`);
}

/** What a reader who does not see the figure is told, when it stands still. */
function tell(): void {
  if (playing) {
    controls.told.textContent = 'Playing.';
    return;
  }
  controls.told.textContent = shown
    .map(({ document, forcesAt }) => {
      const { span, scene } = document;
      const turns = (ownTime(document) - span.start) / span.duration;
      const at = span.start + (turns - Math.floor(turns)) * span.duration;
      const { left, right } = forcesAt(at);
      const frame = scene.firstFrame + (at - span.start) * rateOf(document);
      return `${document.name}, frame ${frame.toFixed(0)}: left foot ${left[0].toFixed(2)}, right foot ${right[0].toFixed(2)}, both ${(left[0] + right[0]).toFixed(2)} body weights.`;
    })
    .join(' ');
}

function setPlaying(next: boolean): void {
  playing = next;
  last = undefined;
  controls.play.textContent = playing ? 'Pause' : 'Play';
  document.documentElement.dataset.playing = String(playing);
  tell();
  if (playing) requestAnimationFrame(tick);
}

function tick(now: number): void {
  if (!playing) return;
  if (last !== undefined) time += ((now - last) / 1000) * Number(controls.speed.value);
  last = now;
  draw();
  requestAnimationFrame(tick);
}

/** To the next or the last whole frame of the first motion shown. */
function step(by: number): void {
  setPlaying(false);
  const rate = rateOf(shown[0].document);
  time = Math.max(0, (Math.round(time * rate * 1e6) / 1e6 + by) / rate);
  time = (by > 0 ? Math.floor(time * rate + 1e-6) : Math.ceil(time * rate - 1e-6)) / rate;
  draw();
  tell();
}

function choose(): void {
  const boxes = [...document.querySelectorAll<HTMLInputElement>('input[name=motion]')];
  const chosen = panels.filter((_, i) => boxes[i]?.checked ?? true);
  shown = chosen.length > 0 ? chosen : panels.slice(0, 1);
  if (chosen.length === 0 && boxes[0]) boxes[0].checked = true;
  const tallest = Math.max(...shown.map((panel) => panel.document.body.stature));
  for (const panel of shown) panel.stage.fit(tallest);
  for (const panel of panels) panel.section.hidden = !shown.includes(panel);
  const grid = need<HTMLElement>('#panels');
  grid.style.setProperty('--shown', String(shown.length));
  grid.classList.toggle('alone', shown.length === 1);
  controls.scrub.max = String(framesOf(shown[0].document));
  draw();
  tell();
}

document.querySelectorAll('input[name=motion]').forEach((box) => {
  box.addEventListener('change', choose);
});
controls.play.addEventListener('click', () => setPlaying(!playing));
controls.back.addEventListener('click', () => step(-1));
controls.on.addEventListener('click', () => step(1));
controls.scrub.addEventListener('input', () => {
  setPlaying(false);
  time = Number(controls.scrub.value) / rateOf(shown[0].document);
  draw();
  tell();
});
for (const control of [controls.view, controls.steps]) control.addEventListener('change', draw);
document.addEventListener('keydown', (event) => {
  const busy = (event.target as Element).closest('input, select, button, a');
  if (busy || event.ctrlKey || event.metaKey || event.altKey) return;
  const act = { ' ': () => setPlaying(!playing), ArrowLeft: () => step(-1), ArrowRight: () => step(1) }[
    event.key
  ];
  if (!act) return;
  event.preventDefault();
  act();
});
still.addEventListener('change', () => {
  if (still.matches) setPlaying(false);
});
choose();
setPlaying(playing);
