import { c3dUnitUnknown } from '../../messages/c3d.ts';
import type { LengthUnit } from '../recording.ts';

const LENGTHS: Readonly<Record<string, LengthUnit>> = {
  mm: 'mm',
  millimeter: 'mm',
  millimeters: 'mm',
  millimetre: 'mm',
  millimetres: 'mm',
  cm: 'cm',
  centimeters: 'cm',
  centimetres: 'cm',
  m: 'm',
  meter: 'm',
  meters: 'm',
  metre: 'm',
  metres: 'm',
};

const NEWTONS = ['n', 'nt', 'newton', 'newtons'];

/** A unit of length as written in a C3D file; null where it is none that is known. */
export function lengthUnit(written: string): LengthUnit | null {
  return LENGTHS[written.trim().toLowerCase()] ?? null;
}

/** Letters only, lower case: 'N.mm', 'N mm', 'N*mm' and 'Nmm' are one. */
const plain = (written: string): string => written.toLowerCase().replace(/[^a-z]/g, '');

/** True where a unit of force is newtons, or nothing is stated (the format's default); anything else is refused. */
export function checkNewtons(file: string, parameter: string, written: string): void {
  const unit = plain(written);
  if (unit !== '' && !NEWTONS.includes(unit)) throw c3dUnitUnknown(file, parameter, written, ['N']);
}

/** Metres of the length in a unit of moment (N·mm → 0.001); null where the text is no unit of moment. */
export function momentMetres(written: string): number | null {
  const match = /^(?:nt|newtons?|n)(mm|cm|m|millimet(?:er|re)s?|met(?:er|re)s?)$/.exec(plain(written));
  if (!match) return null;
  return match[1].startsWith('mm') || match[1].startsWith('milli') ? 0.001 : match[1] === 'cm' ? 0.01 : 1;
}
