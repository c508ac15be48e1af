import { type Api, Context } from "grammy";
import type { Update, UserFromGetMe } from "grammy/types";
import type { JournalStore } from "../journal/ports.js";

/**
 * grammY's context of a stored update, with the household's store it is handled in. The store is bound to the
 * update object before grammY sees it, so the middleware reaches exactly the transaction its update runs in.
 */
export class EdgeContext extends Context {
  static readonly #stores = new WeakMap<Update, JournalStore>();
  readonly store: JournalStore;

  constructor(update: Update, api: Api, me: UserFromGetMe) {
    super(update, api, me);
    const store = EdgeContext.#stores.get(update);
    if (!store) throw new Error("an update is handled only with the store of its household");
    this.store = store;
  }

  static handledWith(update: Update, store: JournalStore): void {
    EdgeContext.#stores.set(update, store);
  }
}
