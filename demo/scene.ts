/** Frame rate and axes of the demo's host: metres, Y up, walking along +Z, 24 frames a second from frame 1. */
export const SCENE = { up: 'y', forward: '+z', metersPerUnit: 1, fps: 24, firstFrame: 1 } as const;
