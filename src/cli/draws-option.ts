import { InvalidArgumentError } from 'commander';
import { LEAST_DRAWS } from '../uncertainty/lift-uncertainty.ts';

/** More draws than this would fill the memory and sharpen nothing. */
const MOST_DRAWS = 100_000;

/** `--draws`: a whole number that quantiles of 2.5 % can be read from. */
export function drawsOption(text: string): number {
  const draws = Number(text);
  if (!Number.isInteger(draws) || draws < LEAST_DRAWS || draws > MOST_DRAWS) {
    throw new InvalidArgumentError(`Write a whole number from ${LEAST_DRAWS} to ${MOST_DRAWS}, for instance 200.`);
  }
  return draws;
}

/** `--seed`: a whole number from 0. */
export function seedOption(text: string): number {
  const seed = Number(text);
  if (text.trim() === '' || !Number.isSafeInteger(seed) || seed < 0) {
    throw new InvalidArgumentError('Write a whole number from 0, for instance 7.');
  }
  return seed;
}
