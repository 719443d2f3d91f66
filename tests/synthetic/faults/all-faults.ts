import { BALANCED_FAULTS } from './balanced.ts';
import type { Fault } from './fault.ts';
import { LEG_FAULTS } from './legs-and-feet.ts';
import { UPPER_FAULTS } from './upper-body.ts';

/** Every fault by name. */
export const FAULTS: Readonly<Record<string, Fault>> = { ...LEG_FAULTS, ...UPPER_FAULTS, ...BALANCED_FAULTS };
