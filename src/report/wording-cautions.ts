import type { BarPosition, Recording } from '../capture/recording.ts';

/*
 * Cautions of the trade (common practice, no source), by where the bar is. They defer to local rules and qualified people,
 * and give no medical advice beyond: stop, and see somebody qualified.
 */

/** For every lift, before everything else. */
const STOP_FIRST = [
  'Stop at once when you feel light-headed, numb or in pain, and put the bar away. Pain that stays, comes back, or follows a fall is for a qualified clinician, not for the next set.',
];

const BY_BAR: Readonly<Record<BarPosition, readonly string[]>> = {
  'front rack': [
    'A bar pressed against the throat can make you light-headed within seconds, and you can faint standing. If you feel it: stop, rack the bar or let it go forward, and sit down. Set it on the shoulders, chin a little up, before you try again.',
    'Getting out of a failed front squat: elbows stay up, let the bar go forward off the shoulders, and step back at once. Do not hold on to the bar or catch it with hands or knees.',
    'No one stands in front of the bar, and nobody’s hands are on it while it falls. Safeties are set just below your depth, and collars are on and checked, before every set.',
  ],
  'high back': [
    'Getting out of a failed back squat: inside a rack, sink onto the safeties and come out under the bar. Without safeties only lifters who have practised it let the bar go behind them, and jump forward.',
    'Spotters, if any, stand one at each end and know their word before the set. Safeties are set just below your depth, and collars are on and checked.',
  ],
  'low back': [
    'With the bar low on the back you lean more, and cannot easily drop it behind you: squat inside a rack, with safeties set just below your depth, and sink onto them when a lift fails.',
    'Spotters, if any, stand one at each end and know their word before the set. Collars are on and checked.',
  ],
  overhead: [
    'Getting out of a failed overhead squat: push the bar away, forward or back, and step the other way. Do not hold on to it while it falls.',
    'Keep the space around you free to both sides, in front and behind. Nobody spots a bar overhead by hand. Collars are on and checked.',
  ],
  hands: [
    'If a lift from the floor does not go: put the bar down, or let it go straight down, with your feet clear of the discs. Do not jerk a bar that is stuck.',
    'After a hard pull stand still and breathe before you walk: light-headedness often comes after the bar is down. Collars are on and checked.',
  ],
  none: [
    'Without a bar too: keep the floor around you free, and have something to hold on to if your balance is not sure.',
  ],
};

const WITH_LOAD = [
  'Maximal attempts are for lifters who have been taught, warmed up, and have safeties or trained spotters. A number in this report is no reason to try one.',
];

const FOR_ALL = [
  'Under 18: lift under the eye of a qualified coach, with technique before load, and by the rules of the place you train at.',
  'In pregnancy or after birth, with a known heart or blood-pressure condition, after an operation or an injury: ask a qualified clinician before you lift. Holding the breath under load raises the blood pressure for a moment.',
  'Change one thing at a time, with a light load first. A change that looks better in one number can load another joint more.',
  'This report measures movement. It is no diagnosis and no medical advice, and a number outside a limit is not an injury. A qualified coach or clinician, and the rules of the place you train at, decide.',
];

/** What to take care of with this lift, the most urgent first. */
export function cautionsFor({ load }: Pick<Recording, 'load'>): string[] {
  return [...STOP_FIRST, ...BY_BAR[load.bar.position], ...(load.totalKg > 0 ? WITH_LOAD : []), ...FOR_ALL];
}

/** What holds for every lift, where no recording is at hand. */
export const cautionsForAll = (): string[] => [...STOP_FIRST, ...WITH_LOAD, ...FOR_ALL];
