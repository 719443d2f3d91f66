/** A picture of the user's own video at a posture, packed into the page. */
export interface Still {
  readonly posture: 'parallel' | 'bottom';
  readonly camera: string;
  /** Seconds of the video. */
  readonly timeS: number;
  /** Pixels. */
  readonly width: number;
  readonly height: number;
  readonly jpegBase64: string;
}

/** Stills of a lift, or why there are none. */
export type LiftStills =
  | { readonly shown: true; readonly stills: readonly Still[] }
  | { readonly shown: false; readonly reason: string };
