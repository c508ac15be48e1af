import PDFDocument from "pdfkit";
import type { AwayTime } from "../../journal/away.js";
import type { CoverSheet } from "../../nudges/plan-cover.js";
import type { Manner } from "../replies/en/figures.js";
import { type Block, coverBlocks, type Folding } from "./blocks.js";
import { printable } from "./printable.js";

/** A4 in points, with margins that every printer keeps. */
const PAGE = { width: 595.28, height: 841.89, margin: 48 };
const WIDTH = PAGE.width - 2 * PAGE.margin;
const HEIGHT = PAGE.height - 2 * PAGE.margin;
/** Sizes tried from the first on; the last is the smallest that is read without glasses at arm's length. */
const SIZES = [11.5, 11, 10.5, 10, 9.5, 9, 8.5, 8, 7.5];
/** Folded further and further until it fits: near days with all their names before far ones. */
const FOLDINGS: readonly Folding[] = [
  { names: 60, visits: 60 },
  { names: 60, visits: 10 },
  { names: 60, visits: 6 },
  { names: 60, visits: 4 },
  { names: 60, visits: 3 },
  { names: 16, visits: 3 },
  { names: 8, visits: 3 },
  { names: 4, visits: 2 },
];
const REGULAR = "Helvetica";
const BOLD = "Helvetica-Bold";
const INK = "#1a1a1a";
const FAINT = "#767676";

export interface CoverPrint {
  sheet: CoverSheet;
  away: AwayTime;
  /** "Glasshouse, Gdansk" */
  where: string | null;
  manner: Manner;
}

/** The cover sheet as a PDF of exactly one A4 page: in the largest letters, and folded the least, that fit. */
export function coverPdf(print: CoverPrint): Promise<Buffer> {
  const { manner, away } = print;
  const doc = new PDFDocument({
    size: "A4",
    margin: PAGE.margin,
    info: {
      Title: printable(away.cover ? `Cover sheet for ${away.cover}` : "Cover sheet"),
      CreationDate: new Date(manner.now.epochMilliseconds),
    },
    lang: "en",
  });
  const chunks: Buffer[] = [];
  const done = new Promise<Buffer>((resolve, reject) => {
    doc.on("data", (chunk: Buffer) => chunks.push(chunk));
    doc.on("end", () => resolve(Buffer.concat(chunks)));
    doc.on("error", reject);
  });
  const { blocks, size } = fitted(doc, print);
  let y = PAGE.margin;
  for (const block of blocks) y += place(doc, block, size, y, true);
  doc.end();
  return done;
}

function fitted(doc: PDFKit.PDFDocument, print: CoverPrint): { blocks: Block[]; size: number } {
  const smallest = SIZES.at(-1) as number;
  for (const folding of FOLDINGS) {
    const blocks = coverBlocks(print.sheet, print.away, print.where, print.manner, folding);
    if (heightOf(doc, blocks, smallest) > HEIGHT) continue;
    const size = SIZES.find((candidate) => heightOf(doc, blocks, candidate) <= HEIGHT);
    return { blocks, size: size ?? smallest };
  }
  const last = FOLDINGS.at(-1) as Folding;
  const blocks = coverBlocks(print.sheet, print.away, print.where, print.manner, last);
  // More places than a page has lines: what does not fit is cut, the warmth and whom to ask are kept.
  return { blocks: cut(doc, blocks, smallest), size: smallest };
}

function cut(doc: PDFKit.PDFDocument, blocks: readonly Block[], size: number): Block[] {
  const kept = [...blocks];
  while (heightOf(doc, kept, size) > HEIGHT) {
    const index = kept.findLastIndex(
      (block, at) => block.kind === "visit" || (block.kind === "row" && at < kept.length - 8),
    );
    if (index < 0) break;
    kept.splice(index, 1);
  }
  return kept;
}

const heightOf = (doc: PDFKit.PDFDocument, blocks: readonly Block[], size: number): number =>
  blocks.reduce((sum, block) => sum + place(doc, block, size, 0, false), 0);

/** Draws a block at a height, or only measures it. @returns how much room it takes */
function place(doc: PDFKit.PDFDocument, block: Block, size: number, y: number, draw: boolean): number {
  const left = PAGE.margin;
  const write = (
    text: string,
    x: number,
    at: number,
    width: number,
    font = REGULAR,
    points = size,
  ): number => {
    doc.font(font).fontSize(points);
    const clean = printable(text);
    const height = doc.heightOfString(clean === "" ? " " : clean, { width });
    if (draw && clean !== "") doc.fillColor(INK).text(clean, x, at, { width, lineBreak: true });
    return height;
  };
  const gap = size * 0.3;
  switch (block.kind) {
    case "title":
      return write(block.text, left, y, WIDTH, BOLD, size * 1.8) + gap;
    case "line":
      return write(block.text, left, y, WIDTH) + gap;
    case "heading": {
      const height = size * 0.7 + write(block.text, left, y + size * 0.7, WIDTH, BOLD, size * 1.15);
      if (draw) {
        doc
          .moveTo(left, y + height + 1)
          .lineTo(left + WIDTH, y + height + 1)
          .lineWidth(0.5)
          .strokeColor(FAINT)
          .stroke();
      }
      return height + gap + 2;
    }
    case "row": {
      const column = size * 8.2;
      const label = write(block.left, left, y, column - gap, BOLD);
      const text = write(block.text, left + column, y, WIDTH - column);
      return Math.max(label, text) + gap;
    }
    case "visit":
      return visit(doc, block, size, y, draw, write) + gap;
  }
}

type Write = (text: string, x: number, at: number, width: number, font?: string) => number;

/** A box to tick, the date, and a row for each thing to do. */
function visit(
  doc: PDFKit.PDFDocument,
  block: Extract<Block, { kind: "visit" }>,
  size: number,
  y: number,
  draw: boolean,
  write: Write,
): number {
  const box = size * 0.8;
  const dated = box + size * 0.6;
  const placed = dated + size * 6.2;
  const what = placed + size * 7.5;
  if (draw) {
    doc
      .rect(PAGE.margin, y + size * 0.12, box, box)
      .lineWidth(0.8)
      .strokeColor(INK)
      .stroke();
  }
  const date = write(block.date, PAGE.margin + dated, y, placed - dated, BOLD);
  let height = 0;
  for (const row of block.rows) {
    const name = write(row.place, PAGE.margin + placed, y + height, what - placed - size * 0.5);
    height += Math.max(name, write(row.what, PAGE.margin + what, y + height, WIDTH - what));
  }
  return Math.max(date, height);
}
