export { extrapolatedCentre, GRAVITY } from './extrapolated-centre.ts';
