import { serve } from '../../server/serve.ts';
import { SMALL_REVIEW } from './small-review.ts';

// A server that is there to be killed: data folder and port are its arguments, what opens it its output.
const [data = '', port = '0'] = process.argv.slice(2);
const served = await serve({ data, port: Number(port), demo: SMALL_REVIEW });
console.log(`ready ${JSON.stringify({ url: served.url, links: served.links })}`);
