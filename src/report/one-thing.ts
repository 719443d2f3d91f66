/** The one change that the first screen proposes. */
export interface OneThing {
  /** The finding behind it. */
  readonly title: string;
  /** What to try, in plain words. */
  readonly cue: string;
  /** '' where nothing is special. */
  readonly caution: string;
}
