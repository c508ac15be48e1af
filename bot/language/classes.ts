import type { Item } from "./item.js";

const ids = new Map<string, number>();
const MOST = 256;

function idOf(name: string): number {
  let id = ids.get(name);
  if (id === undefined) {
    id = ids.size;
    if (id >= MOST) throw new Error(`more than ${MOST} word classes`);
    ids.set(name, id);
  }
  return id;
}

/** What an item is beside its words' classes: it names plants, holds a number, holds a time. */
export const PLANT = "(plant)";
export const MEASURE = "(measure)";
export const TIME = "(time)";

/**
 * A set of word classes, a bit each: what stands in a run of items, or what a rule looks for. A rule that finds
 * nothing without certain classes need not be tried where none of them stands.
 */
export class Classes {
  constructor(
    readonly a: number,
    readonly b: number,
    readonly c: number,
    readonly d: number,
    readonly e: number,
    readonly f: number,
    readonly g: number,
    readonly h: number,
  ) {}

  /** @param names classes; "act past" is an act in that form */
  static named(...names: string[]): Classes {
    const words = [0, 0, 0, 0, 0, 0, 0, 0];
    for (const name of names) {
      const id = idOf(name);
      words[id >> 5] = (words[id >> 5] as number) | (1 << (id & 31));
    }
    return new Classes(...(words as [number, number, number, number, number, number, number, number]));
  }

  /** Whether both sets share a class. */
  meets(other: Classes): boolean {
    return (
      ((this.a & other.a) |
        (this.b & other.b) |
        (this.c & other.c) |
        (this.d & other.d) |
        (this.e & other.e) |
        (this.f & other.f) |
        (this.g & other.g) |
        (this.h & other.h)) !==
      0
    );
  }
}

const ofSense = new Map<string, Classes>();

/** The classes of one sense: its own, and its own in this form. */
export function classesOfSense(cls: string, form: string | undefined): Classes {
  const name = form === undefined ? cls : `${cls} ${form}`;
  let known = ofSense.get(name);
  if (!known) {
    known = form === undefined ? Classes.named(cls) : Classes.named(cls, name);
    ofSense.set(name, known);
  }
  return known;
}

const ITEM = [PLANT, MEASURE, TIME].map((name) => Classes.named(name)) as [Classes, Classes, Classes];

/** The classes of all words of a run of items. */
export function classesOf(items: readonly Item[]): Classes {
  const [plant, measure, time] = ITEM;
  let { a, b, c, d, e, f, g, h } = NONE;
  for (let i = 0; i < items.length; i++) {
    const item = items[i] as Item;
    if (item.subject) a |= plant.a;
    if (item.measure) a |= measure.a;
    if (item.time) a |= time.a;
    const { senses } = item;
    for (let k = 0; k < senses.length; k++) {
      const { classes } = senses[k] as (typeof senses)[number];
      a |= classes.a;
      b |= classes.b;
      c |= classes.c;
      d |= classes.d;
      e |= classes.e;
      f |= classes.f;
      g |= classes.g;
      h |= classes.h;
    }
  }
  return new Classes(a, b, c, d, e, f, g, h);
}

const NONE = new Classes(0, 0, 0, 0, 0, 0, 0, 0);
