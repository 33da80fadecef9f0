import { PEOPLE } from './people.ts';
import { chairArms } from './shots/arm-0120.ts';
import { ferryman } from './shots/ben-0110.ts';
import { ferrymanKeyed } from './shots/ben-0115.ts';
import { cheeseCrate } from './shots/crt-0020.ts';
import { harvestDip } from './shots/dip-0070.ts';
import { equalCarry } from './shots/eql-0075.ts';
import { gateGuard } from './shots/grd-0030.ts';
import { reedHopper } from './shots/hop-0055.ts';
import { keyByTheWall } from './shots/key-0030.ts';
import { lineWalker } from './shots/lin-0090.ts';
import { lamplighter } from './shots/lmp-0060.ts';
import { oneStays } from './shots/ltg-0080.ts';
import { nestBelow } from './shots/nst-0050.ts';
import { walkerPole } from './shots/pol-0095.ts';
import { lockGate } from './shots/pul-0010.ts';
import { ballHeldOut } from './shots/put-0065.ts';
import { unknownSack } from './shots/sck-0035.ts';
import { boatSlip } from './shots/slp-0045.ts';
import { saltPorter } from './shots/slt-0040.ts';
import { wharfStair } from './shots/stp-0140.ts';
import { stuckGate } from './shots/wal-0015.ts';
import type { DemoReview } from './types.ts';

export type {
  DemoDraft,
  DemoNote,
  DemoPerson,
  DemoReply,
  DemoReview,
  DemoSequence,
  DemoShot,
} from './types.ts';

/** The review that a first start puts in: an invented show, its shots, notes and people. */
export function demoReview(): DemoReview {
  return {
    title: 'Fenmark Ferry',
    sequences: [
      { id: 'quay', title: 'The quay' },
      { id: 'fair', title: 'Harvest fair' },
      { id: 'house', title: 'Ferry house' },
      { id: 'cliff', title: 'Cliff and gate' },
    ],
    shots: [
      saltPorter,
      lockGate,
      cheeseCrate,
      lamplighter,
      harvestDip,
      reedHopper,
      lineWalker,
      keyByTheWall,
      ferryman,
      ferrymanKeyed,
      nestBelow,
      gateGuard,
      unknownSack,
      boatSlip,
      equalCarry,
      ballHeldOut,
      oneStays,
      walkerPole,
      chairArms,
      wharfStair,
      stuckGate,
    ],
    people: Object.values(PEOPLE),
  };
}
