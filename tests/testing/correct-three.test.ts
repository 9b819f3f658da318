import { Object3D } from 'three';
import { describe, it } from 'vitest';
import { adaptThree } from '../../examples/three-rig.js';
import { assertLaws, checkRigAdapter, type RigTrial } from '../../src/testing/index.js';

/** Cases for each law; more with FAST_CHECK_RUNS in the environment. */
const RUNS = Number(process.env.FAST_CHECK_RUNS ?? 100);

/** Long enough for 10 000 cases of each law on a busy machine. */
const PATIENCE = { timeout: 400_000 };

const THREE_MAPPING = {
  'root.side': 'hips.position[x]',
  'root.height': 'hips.position[y]',
  'root.forward': 'hips.position[z]',
  'left.pitch': 'footL.rotation[x]',
} as const;

/** What the test uses of a clip. */
interface Clip {
  readonly tracks: readonly {
    readonly name: string;
    createInterpolant(): { evaluate(seconds: number): ArrayLike<number> };
  }[];
}

/** The three.js scene played by its own tracks: metres, radians, seconds, y up, the way along +z. */
function threeTrial(): RigTrial {
  const scene = new Object3D();
  for (const name of ['hips', 'footL']) scene.add(Object.assign(new Object3D(), { name }));
  const { adapter, clip } = adaptThree(scene, ['hips', 'footL'], 24);
  const players = new Map<string, (seconds: number) => number>();
  return {
    adapter: {
      ...adapter,
      writeKeys: (channel, curve, mode) => {
        players.clear();
        adapter.writeKeys(channel, curve, mode);
      },
    },
    play: (source, seconds) => {
      if (players.size === 0) {
        for (const track of (clip('walk') as unknown as Clip).tracks) {
          const player = track.createInterpolant();
          players.set(track.name, (time) => player.evaluate(time)[0]);
        }
      }
      return players.get(THREE_MAPPING[source as keyof typeof THREE_MAPPING])?.(seconds) ?? 0;
    },
  };
}

describe('a correct adapter', () => {
  it('of a three.js scene keeps every law at its samples', PATIENCE, () => {
    // Tracks keep 32-bit numbers: 6e-8 of a value, and of a time where a curve is steep.
    const options = {
      mapping: THREE_MAPPING,
      runs: RUNS,
      tolerance: 2e-5,
      samplesPerFrame: 4,
      outside: false,
    };
    assertLaws(checkRigAdapter(threeTrial, options));
  });
});
