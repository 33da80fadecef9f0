import { html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { Attempt } from '../controllers/attempt.ts';
import { withKept } from '../controllers/with-kept.ts';
import type { Session } from '../session/index.ts';
import { shared } from '../styles/shared.ts';
import { sayWhen } from '../styles/when.ts';
import {
  addWebhook,
  type Delivery,
  dropWebhook,
  readDeliveries,
  readWebhooks,
  type Webhook,
} from './api.ts';
import { listStyles } from './list.styles.ts';
import { onceTold } from './once-told.ts';

const SHOWN = 8;

/** Addresses that are told when a shot changes state, and how that went; for the lead. */
@customElement('cl-webhook-list')
export class WebhookList extends LitElement {
  static override styles = [shared, listStyles];

  @property({ attribute: false }) session!: Session;
  @state() private webhooks: readonly Webhook[] = [];
  @state() private deliveries: ReadonlyMap<string, readonly Delivery[]> = new Map();
  private readonly attempt = new Attempt(this);

  /** Reads the list again; to be called when it comes into sight. */
  load(): void {
    this.webhooks = [];
    void this.attempt.run(async () => {
      const kept = await readWebhooks(this.session.review);
      this.webhooks = withKept(this.webhooks, kept);
      this.deliveries = new Map();
    });
  }

  private handleAdd(event: SubmitEvent): void {
    event.preventDefault();
    const form = event.currentTarget as HTMLFormElement;
    const url = String(new FormData(form).get('url') ?? '').trim();
    void this.attempt.run(async () => {
      this.webhooks = [...this.webhooks, await addWebhook(this.session.review, url)];
      form.reset();
    });
  }

  private handleDrop({ id }: Webhook): void {
    void this.attempt.run(async () => {
      await dropWebhook(this.session.review, id);
      this.webhooks = this.webhooks.filter((webhook) => webhook.id !== id);
      this.session.say('That address is told nothing more.');
    });
  }

  private handleLook({ id }: Webhook): void {
    void this.attempt.run(async () => {
      const told = await readDeliveries(this.session.review, id);
      this.deliveries = new Map(this.deliveries).set(id, told);
    });
  }

  private renderDelivery({ madeAt, tries, nextAt, fault }: Delivery) {
    const now = new Date();
    const went =
      fault === null
        ? tries === 0
          ? 'on its way'
          : 'arrived'
        : nextAt === null
          ? `given up after ${tries} tries: ${fault}`
          : `${fault}; tried again ${sayWhen(nextAt, now)}`;
    return html`<li class="small">${sayWhen(madeAt, now)}: ${went}</li>`;
  }

  private renderWebhook(webhook: Webhook) {
    const told = this.deliveries.get(webhook.id);
    return html`<li>
      <span class="row">
        <strong>${webhook.url}</strong>
        <button @click=${() => this.handleLook(webhook)}>
          What it was told<span class="hidden-text">: ${webhook.url}</span>
        </button>
        <button @click=${() => this.handleDrop(webhook)}>
          Tell it no more<span class="hidden-text">: ${webhook.url}</span>
        </button>
      </span>
      ${webhook.secret === null ? nothing : onceTold(webhook.secret, `Secret that signs for ${webhook.url}`)}
      ${
        told === undefined
          ? nothing
          : told.length === 0
            ? html`<p class="pencil small">Nothing yet.</p>`
            : html`<ul>${told.slice(0, SHOWN).map((delivery) => this.renderDelivery(delivery))}</ul>`
      }
    </li>`;
  }

  protected override render() {
    return html`
      <p class="pencil">
        An address is told whenever a shot changes state: a signed POST of JSON, sent again for some
        hours where it does not arrive.
      </p>
      ${this.attempt.render()}
      ${this.webhooks.length === 0 ? nothing : html`<ul>${this.webhooks.map((webhook) => this.renderWebhook(webhook))}</ul>`}
      <form @submit=${this.handleAdd}>
        <label class="wide">Address <input name="url" type="url" maxlength="500" required placeholder="https://" autocomplete="off" /></label>
        <button type="submit">Tell this address</button>
      </form>
    `;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-webhook-list': WebhookList;
  }
}
