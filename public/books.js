// Keeps the shop books of this device in IndexedDB, each a record under an id of its own, and the drawing in hand under
// the id "drawing" in a store for itself.

// The folder is part of the name: sites in other folders of the same host share the store.
const FOLDER = `decal-reckoner:${new URL(document.documentElement.dataset.root ?? ".", import.meta.url).pathname}:`;

// Does one thing and tells `heard` of it, with all books (or drawings) as they are then, or with the name of the error
// where the browser refuses it. What `next` says comes back as it is.
export async function books(act, id, record, next, heard) {
  const said = { act, id, next };
  const name = id === "drawing" ? "drawings" : "books";
  try {
    const database = await open(name);
    try {
      await inStore(database, name, "readwrite", (store) => work(store, said, record));
      said.books = await inStore(database, name, "readonly", all);
    } finally {
      database.close();
    }
    // Asked once, when there is something to lose; where the browser says no, it may still keep them.
    if (act === "add") navigator.storage?.persist?.().catch(() => {});
  } catch (error) {
    console.warn(error);
    said.refused = error?.name ?? "unknown";
  }
  heard(said);
}

function work(store, said, record) {
  if (said.act === "add") store.put(record, said.id);
  if (said.act === "delete") store.delete(said.id);
  if (said.act === "save") {
    store.get(said.id).onsuccess = ({ target: { result } }) => {
      // What another window has deleted does not come back by itself.
      if (result) store.put({ ...result, ...record }, said.id);
      else said.gone = true;
    };
  }
}

function all(store) {
  const books = [];
  store.openCursor().onsuccess = ({ target: { result: cursor } }) => {
    if (!cursor) return;
    books.push({ ...cursor.value, id: cursor.key });
    cursor.continue();
  };
  return books;
}

function open(name) {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(FOLDER + name, 1);
    request.onupgradeneeded = () => request.result.createObjectStore(name);
    request.onsuccess = () => {
      const database = request.result;
      // A later version of the page, in another window, does not wait for this one: it closes when its work is done.
      database.onversionchange = () => database.close();
      resolve(database);
    };
    request.onerror = () => reject(request.error);
    // Where another window holds the store at an older version, that is told: it may never let go.
    request.onblocked = () => {
      request.onsuccess = () => request.result.close();
      reject(new DOMException("another window holds the books", "BlockedError"));
    };
  });
}

function inStore(database, name, mode, act) {
  return new Promise((resolve, reject) => {
    const transaction = database.transaction(name, mode);
    const found = act(transaction.objectStore(name));
    transaction.oncomplete = () => resolve(found);
    transaction.onabort = () => reject(transaction.error);
  });
}
