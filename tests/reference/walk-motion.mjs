// Prints forces and root path of the walks whose specs arrive on standard input.
import { readFileSync } from 'node:fs';
import { planWalk, rootAt, sampleReactions } from 'underfoot/gait';

const { specs, samples } = JSON.parse(readFileSync(0, 'utf8'));

const walks = specs.map((spec) => {
  const walk = planWalk(spec);
  const { time, left, right } = sampleReactions(walk, { samples });
  const path = time.map((t) => rootAt(walk, t));
  return {
    period: walk.pace.strideTime,
    speed: walk.pace.speed,
    gravity: walk.gravity,
    time,
    left,
    right,
    height: path.map(({ height }) => height.value),
    forward: path.map(({ forward }) => forward.value),
    side: path.map(({ side }) => side.value),
  };
});
console.log(JSON.stringify(walks));
