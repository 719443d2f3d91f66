/** One small picture: what it shows, said for those who do not see it, and its marks. */
export interface Drawing {
  readonly shows: string;
  draw(): readonly string[];
}

/** Pictures by the name of their measure. */
export type Drawings = Readonly<Record<string, Drawing>>;
