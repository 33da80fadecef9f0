import { Counter, collectDefaultMetrics, Gauge, Histogram, Registry } from 'prom-client';
import type { RequestEntry } from '../log.ts';
import type { Rooms } from '../sync/rooms.ts';

/** What the gauges look at when somebody asks. */
export interface Watched {
  readonly rooms: Rooms;
  readonly database: { pragma(source: string, options: { simple: true }): unknown };
  readonly isFull: () => boolean;
}

/** Numbers about the server in the form that Prometheus reads. */
export class Metrics {
  readonly #registry = new Registry();
  readonly #requests: Histogram<'method' | 'route' | 'status'>;
  readonly #uploaded: Counter<'kind'>;

  /** @param ofProcess whether to add what Node tells about the process (memory, event loop, CPU) */
  constructor({ rooms, database, isFull }: Watched, ofProcess: boolean) {
    const registers = [this.#registry];
    if (ofProcess) collectDefaultMetrics({ register: this.#registry });
    this.#requests = new Histogram({
      name: 'counterlean_request_seconds',
      help: 'Time to answer a request, by method, route pattern and status.',
      labelNames: ['method', 'route', 'status'],
      buckets: [0.002, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 10],
      registers,
    });
    this.#uploaded = new Counter({
      name: 'counterlean_uploaded_bytes_total',
      help: 'Bytes of files that were put in, by kind.',
      labelNames: ['kind'],
      registers,
    });
    new Gauge({
      name: 'counterlean_rooms',
      help: 'Documents in memory.',
      registers,
      collect() {
        this.set(rooms.open.length);
      },
    });
    new Gauge({
      name: 'counterlean_sockets',
      help: 'Open sync sockets, by document.',
      labelNames: ['document'],
      registers,
      async collect() {
        const counts = { scenes: 0, notes: 0, record: 0 };
        for (const { key, connections } of await rooms.all()) {
          counts[key.document] += connections.size;
        }
        for (const [document, count] of Object.entries(counts)) this.set({ document }, count);
      },
    });
    new Gauge({
      name: 'counterlean_database_bytes',
      help: 'Size of the database.',
      registers,
      collect() {
        const pages = database.pragma('page_count', { simple: true }) as number;
        this.set(pages * (database.pragma('page_size', { simple: true }) as number));
      },
    });
    new Gauge({
      name: 'counterlean_data_full',
      help: '1 while there is no room left for data and changes are refused.',
      registers,
      collect() {
        this.set(isFull() ? 1 : 0);
      },
    });
  }

  request({ method, route, status, milliseconds }: RequestEntry): void {
    this.#requests.observe({ method, route, status: String(status) }, milliseconds / 1000);
  }

  uploaded(kind: string, bytes: number): void {
    this.#uploaded.inc({ kind }, bytes);
  }

  /** The media type of `text`. */
  get contentType(): string {
    return this.#registry.contentType;
  }

  text(): Promise<string> {
    return this.#registry.metrics();
  }
}
