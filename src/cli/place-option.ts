import { InvalidArgumentError } from 'commander';

/** `--out`: a path that says something; an empty one (a shell variable that was never set) would mean the folder one is in. */
export function placeOption(text: string): string {
  if (text.trim() === '') throw new InvalidArgumentError('Name a place, for instance out/monday.');
  return text;
}
