/** Standard acceleration of free fall, m/s² (3rd CGPM, 1901, resolution 2; exact by definition). Acts along −Y of the lab frame. */
export const GRAVITY_M_PER_S2 = 9.80665;
