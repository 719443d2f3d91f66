/**
 * What a C3D file holds, in the units of the file: the public format of 512-byte blocks (docs/method/c3d.md says every
 * fact and its source). Nothing here knows a lifter.
 */

/** Who wrote the numbers: byte order and kind of floating-point number. */
export type C3dProcessor = 'Intel' | 'DEC' | 'MIPS';

export type C3dValueKind = 'text' | 'byte' | 'integer' | 'float';

/** One parameter. Numbers are as stored: integers signed, bytes unsigned. */
export interface C3dParameter {
  readonly name: string;
  readonly description: string;
  readonly locked: boolean;
  readonly kind: C3dValueKind;
  /** First index runs fastest; empty for one single value. At most 7, each 0–255. */
  readonly dimensions: readonly number[];
  /** Of numbers; empty for text. */
  readonly values: Float64Array;
  /** Of text: one string a row, as long as the first dimension, one character a byte; empty for numbers. */
  readonly text: readonly string[];
}

export interface C3dGroup {
  readonly name: string;
  readonly description: string;
  readonly locked: boolean;
  readonly parameters: readonly C3dParameter[];
}

export interface C3dPoints {
  readonly count: number;
  /** `count` long, spaces at the end removed; '' where the file names none. Labels may repeat. */
  readonly labels: readonly string[];
  /** POINT:UNITS as written, spaces at the end removed. */
  readonly unit: string;
  /** Size of POINT:SCALE: unit of the stored residuals. */
  readonly scale: number;
  /** `3 * (frame * count + point)`, file units and axes; NaN where the point was not measured. */
  readonly position: Float32Array;
  /** `frame * count + point`: mean residual of the measurement, file units; 0 = processed, not measured; NaN where missing. */
  readonly residual: Float32Array;
  /** `frame * count + point`: bit k set = camera k + 1 saw the point (the format has seven). */
  readonly cameras: Uint8Array;
}

/** Numbers sampled together with the points. A value = (stored − offset) · scale · generalScale. */
export interface C3dAnalog {
  readonly channels: number;
  readonly samplesPerFrame: number;
  readonly rateHz: number;
  readonly labels: readonly string[];
  readonly units: readonly string[];
  /** `sample * channels + channel`, as stored. */
  readonly stored: Float32Array;
  readonly offset: Float64Array;
  readonly scale: Float64Array;
  readonly generalScale: number;
}

export interface C3dEvent {
  readonly label: string;
  /** 'Left', 'Right', 'General' … ; '' in the header's list. */
  readonly context: string;
  /** Seconds from the first frame of this file. */
  readonly timeS: number;
}

export interface C3dFile {
  readonly file: string;
  readonly processor: C3dProcessor;
  readonly storage: 'integer' | 'float';
  readonly frameRateHz: number;
  readonly frames: number;
  /** Number of the first frame, from 1; a part cut out of a longer trial may begin later. */
  readonly firstFrame: number;
  /** Largest gap that was filled before writing, frames (header word 6); 0 = none stated. */
  readonly filledGapFrames: number;
  readonly points: C3dPoints;
  readonly analog: C3dAnalog;
  /** Of the EVENT group. */
  readonly events: readonly C3dEvent[];
  /** Of the header: at most 18, labels of four letters. */
  readonly headerEvents: readonly C3dEvent[];
  /** Every group with every parameter, as stored. */
  readonly groups: readonly C3dGroup[];
}

export const BLOCK_BYTES = 512;
