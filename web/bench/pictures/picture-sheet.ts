import { html, type TemplateResult } from 'lit';
import type { Picture } from '../../../core/document/index.ts';
import { type PicturePlace, transformOf } from './picture-place.ts';

/** A reference picture where it lies on the elevation's sheet, for its slot under or over the drawing. */
export function pictureSheet(
  { size, opacity, name }: Picture,
  url: string,
  place: PicturePlace,
  slot: 'under' | 'over',
): TemplateResult {
  return html`<svg slot=${slot} class="picture" role="img" aria-label="Reference: ${name}" data-picture=${name}>
    <image href=${url} width=${size[0]} height=${size[1]} opacity=${opacity} preserveAspectRatio="none"
      transform=${transformOf(place)}></image>
  </svg>`;
}
