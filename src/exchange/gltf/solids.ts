/** A solid's triangles, as glTF wants them. */
export interface Solid {
  readonly positions: Float32Array;
  readonly normals: Float32Array;
  readonly indices: Uint16Array;
}

/** Sides of everything round. */
const SIDES = 14;

/** A body of revolution about the y axis from (radius, height) pairs, from top to bottom, radii ≥ 0. */
export function turnSolid(profile: readonly (readonly [number, number])[]): Solid {
  const positions: number[] = [];
  const normals: number[] = [];
  const indices: number[] = [];
  profile.forEach(([radius, height], i) => {
    const [r0, y0] = profile[Math.max(0, i - 1)];
    const [r1, y1] = profile[Math.min(profile.length - 1, i + 1)];
    // Outwards, perpendicular to the profile.
    const [out, up] = [y0 - y1, r1 - r0];
    const length = Math.hypot(out, up) || 1;
    for (let j = 0; j <= SIDES; j++) {
      const angle = (2 * Math.PI * j) / SIDES;
      const [c, s] = [Math.cos(angle), Math.sin(angle)];
      positions.push(radius * c, height, radius * s);
      normals.push((out / length) * c, up / length, (out / length) * s);
    }
  });
  const row = SIDES + 1;
  for (let i = 0; i + 1 < profile.length; i++) {
    for (let j = 0; j < SIDES; j++) {
      const a = i * row + j;
      indices.push(a, a + 1, a + row, a + 1, a + row + 1, a + row);
    }
  }
  return {
    positions: Float32Array.from(positions),
    normals: Float32Array.from(normals),
    indices: Uint16Array.from(indices),
  };
}

/** A ball, stretched by a factor along y. */
export function makeBall(radius: number, stretch = 1): Solid {
  const steps = 8;
  return turnSolid(
    Array.from({ length: steps + 1 }, (_, i) => {
      const angle = (Math.PI * i) / steps;
      return [radius * Math.sin(angle), radius * stretch * Math.cos(angle)] as const;
    }),
  );
}

/** A limb that hangs from the origin down the y axis, round at both ends, thinner below. */
export function makeLimb(length: number, radius: number, thinner = 0.75): Solid {
  const low = radius * thinner;
  const arc = [0, 30, 60, 90].map((degrees) => (degrees * Math.PI) / 180);
  return turnSolid([
    ...arc.map((a) => [radius * Math.sin(a), radius * Math.cos(a)] as const),
    ...arc.map((a) => [low * Math.cos(a), -length - low * Math.sin(a)] as const),
  ]);
}

/** A block between two corners. */
export function makeBlock(low: readonly number[], high: readonly number[]): Solid {
  const positions: number[] = [];
  const normals: number[] = [];
  const indices: number[] = [];
  for (let axis = 0; axis < 3; axis++) {
    const [b, c] = [(axis + 1) % 3, (axis + 2) % 3];
    for (const sign of [-1, 1]) {
      const first = positions.length / 3;
      for (const [u, v] of [
        [0, 0],
        [1, 0],
        [1, 1],
        [0, 1],
      ]) {
        const point = [0, 0, 0];
        point[axis] = sign > 0 ? high[axis] : low[axis];
        point[b] = u ? high[b] : low[b];
        point[c] = v ? high[c] : low[c];
        positions.push(...point);
        const normal = [0, 0, 0];
        normal[axis] = sign;
        normals.push(...normal);
      }
      const order = sign > 0 ? [0, 1, 2, 0, 2, 3] : [0, 2, 1, 0, 3, 2];
      indices.push(...order.map((i) => first + i));
    }
  }
  return {
    positions: Float32Array.from(positions),
    normals: Float32Array.from(normals),
    indices: Uint16Array.from(indices),
  };
}
