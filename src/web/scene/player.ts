export const SPEEDS = [1, 0.5, 0.25, 0.125] as const;

/** Which frame is shown, and how time runs. Frames are fractional while playing. */
export interface Player {
  frame: number;
  playing: boolean;
  /** Share of real time, 1. */
  speed: number;
  /** First and last frame of what is played. */
  first: number;
  last: number;
  /** Begins again at the end. */
  loops: boolean;
}

export function newPlayer(frames: number): Player {
  return { frame: 0, playing: false, speed: 0.5, first: 0, last: Math.max(0, frames - 1), loops: false };
}

/** Lets so many seconds of real time pass; stops at the end, or begins again. */
export function advance(player: Player, seconds: number, frameRateHz: number): void {
  if (!player.playing) return;
  const { first, last } = player;
  const next = player.frame + seconds * player.speed * frameRateHz;
  if (next < last) {
    player.frame = Math.max(first, next);
  } else if (player.loops && last > first) {
    player.frame = first + ((next - first) % (last - first));
  } else {
    player.frame = last;
    player.playing = false;
  }
}

/** Starts from where it is, or from the beginning where it stands at the end. */
export function play(player: Player): void {
  if (player.frame >= player.last || player.frame < player.first) player.frame = player.first;
  player.playing = player.last > player.first;
}

/** Stops at a whole frame within the part that is played. */
export function goTo(player: Player, frame: number): void {
  player.playing = false;
  player.frame = Math.max(player.first, Math.min(player.last, Math.round(frame)));
}

/** What is played: frames first to last, again and again or once. The present frame is kept where it lies within. */
export function setPart(player: Player, first: number, last: number, loops: boolean): void {
  player.first = first;
  player.last = last;
  player.loops = loops;
  player.frame = Math.max(first, Math.min(last, player.frame));
}
