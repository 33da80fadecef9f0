export { Bench } from './bench.ts';
