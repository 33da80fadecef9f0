import type { ShotRecord } from '../../core/document/index.ts';
import { verdictInk } from '../../core/drawing/index.ts';
import { type Block, drawingsOf } from '../../core/sheet/index.ts';
import type { Paper } from './paper.ts';

/** What a link to a shot leads to. */
export const destinationOf = ({ id }: Pick<ShotRecord, 'id'>): string => `shot ${id}`;

/** Writes the pages of one shot. The first begins on a new page. */
export function shotPages(paper: Paper, shot: ShotRecord, blocks: readonly Block[]): void {
  paper.newPage();
  paper.doc.addNamedDestination(destinationOf(shot));
  paper.doc.outline.addItem(`${shot.code} ${shot.title}`.trim());
  for (const block of blocks) write(paper, block);
}

const DRAWING_HEIGHT = 250;
const NAME_WIDTH = 96;
const NOTE_INDENT = 22;

function write(paper: Paper, block: Block): void {
  switch (block.kind) {
    case 'head':
      paper.write(block.title, { size: 18, face: 'bold', after: 2 });
      paper.write(block.terms, { ink: 'pencil', after: 4 });
      paper.rule('ink', 1);
      return;
    case 'drawings':
      drawings(paper, block);
      return;
    case 'verdict':
      paper.write(block.word, {
        ...{ size: 15, face: 'bold', after: 1 },
        ink: verdictInk(block.verdict),
      });
      paper.write(block.sentence, { after: 4 });
      return;
    case 'pair':
      paper.keepTogether(16);
      paper.line(
        block.name,
        { x: paper.left, y: paper.y, width: NAME_WIDTH - 8 },
        { ink: 'pencil' },
      );
      paper.write(block.value, { indent: NAME_WIDTH });
      return;
    case 'part':
      paper.keepTogether(60);
      paper.y += 6;
      paper.write(block.title, { size: 12, face: 'bold', after: 2 });
      paper.rule();
      return;
    case 'line':
      paper.keepTogether(16);
      paper.write(block.text, { ink: block.quiet ? 'pencil' : 'ink', after: 3 });
      return;
    case 'note':
      note(paper, block);
  }
}

function drawings(paper: Paper, { weighed }: Extract<Block, { kind: 'drawings' }>): void {
  const half = paper.width / 2;
  const size = { width: half - 10, height: DRAWING_HEIGHT };
  const { y } = paper;
  for (const [index, svg] of drawingsOf(weighed, size).entries()) {
    paper.drawing(svg, { ...size, x: paper.left + index * (half + 5), y });
  }
  paper.y = y + DRAWING_HEIGHT + 10;
}

function note(paper: Paper, block: Extract<Block, { kind: 'note' }>): void {
  const { number, head, text, foot, replies } = block;
  paper.keepTogether(40);
  const place = { x: paper.left, y: paper.y, width: NOTE_INDENT - 4 };
  paper.line(String(number), place, { face: 'bold' });
  paper.write(head, { indent: NOTE_INDENT, ink: 'pencil', size: 9 });
  paper.write(text, { indent: NOTE_INDENT, after: 3 });
  paper.write(foot, { indent: NOTE_INDENT, ink: 'pencil', size: 9, after: 2 });
  const indent = 2 * NOTE_INDENT;
  for (const reply of replies) {
    paper.keepTogether(28);
    paper.write(reply.head, { indent, ink: 'pencil', size: 9 });
    paper.write(reply.text, { indent, after: 3 });
  }
  paper.y += 5;
}
