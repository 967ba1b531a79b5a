//! Workers: threads of their own for what takes a while.
//!
//! What they run is a module of its own, a part of the page that is loaded when the first of its workers
//! starts: a task starts its worker when somebody looks at what it answers, not before.

use super::dom::{Fault, Page};
use super::members::{at_name, put_at_name};
use js_sys::{JSON, Object};
use std::cell::{Cell, RefCell};
use std::rc::Rc;
use wasm_bindgen::prelude::*;
use web_sys::{MessageEvent, Worker, WorkerOptions, WorkerType};

/// So many milliseconds after the last keystroke a task is begun.
const PAUSE: i32 = 200;

/// One task that is asked again and again, each time of the newest input only.
pub(super) struct Task {
    name: &'static str,
    worker: RefCell<Option<Worker>>,
    part: Rc<Part>,
    /// Whether somebody looks at what it answers.
    wanted: Cell<bool>,
    /// The input asked about last.
    asked: RefCell<String>,
    /// What belongs to the input and is too large to be compared as text.
    attached: RefCell<JsValue>,
    /// Which asking it is; what is heard of an earlier one is too late.
    id: Cell<u32>,
    busy: Cell<bool>,
    /// Whether anything was told of it yet.
    told: Cell<bool>,
    /// Whether it is about to be reckoned, or is to be once somebody looks.
    waiting: Cell<bool>,
    heard: Heard,
}

/// What several workers run: a script and its module.
#[derive(Default)]
pub(super) struct Part {
    /// What the script is called, and `data-…` on the places that show what comes of it.
    pub name: &'static str,
    /// The module, once a worker has compiled it.
    compiled: RefCell<JsValue>,
    /// Whether it could not be had when it was last asked for.
    pub missing: Cell<bool>,
}

impl Part {
    pub(super) fn new(name: &'static str) -> Rc<Self> {
        Rc::new(Self {
            name,
            ..Self::default()
        })
    }
}

/// Called with what a worker tells, and with `missing` where its script or module cannot be had.
type Heard = Rc<dyn Fn(&JsValue) -> Result<(), Fault>>;

impl Task {
    pub(super) fn new(name: &'static str, part: &Rc<Part>, heard: Heard) -> Rc<Self> {
        Rc::new(Self {
            name,
            worker: RefCell::default(),
            part: Rc::clone(part),
            wanted: Cell::default(),
            asked: RefCell::default(),
            attached: RefCell::default(),
            id: Cell::default(),
            busy: Cell::default(),
            told: Cell::default(),
            waiting: Cell::default(),
            heard,
        })
    }

    /// Notes that somebody looks at what it answers; whether nobody did before.
    pub(super) fn want(&self) -> bool {
        !self.wanted.replace(true)
    }

    pub(super) const fn name(&self) -> &'static str {
        self.name
    }

    /// Attaches something to whatever is asked from now on; what was asked before is another question.
    pub(super) fn attach(&self, attached: &JsValue) {
        self.attached.replace(attached.clone());
        self.stop();
        self.forget();
    }

    /// Asks about an input, a little later, unless it is the one asked about last or nobody looks at the
    /// answer; whether it does.
    pub(super) fn ask(self: &Rc<Self>, page: &Page, input: &JsValue) -> Result<bool, Fault> {
        if !self.wanted.get() {
            self.waiting.set(true);
            return Ok(false);
        }
        let json = JSON::stringify(input)?.as_string().unwrap_or_default();
        if *self.asked.borrow() == json {
            return Ok(false);
        }
        self.asked.replace(json);
        self.stop();
        let (task, input) = (Rc::clone(self), input.clone());
        let id = self.id.get();
        let begin = Closure::once_into_js(move || {
            // By now something else may be asked, or nothing.
            if id != task.id.get() {
                return Ok(());
            }
            task.waiting.set(false);
            task.begin(&input).map_err(JsValue::from)
        });
        self.waiting.set(true);
        // What takes a while the first time is done meanwhile.
        if self.worker.borrow().is_none() {
            // A frame without an origin may start none.
            let Ok(worker) = self.start(&page.build()) else {
                self.miss()?;
                return Ok(false);
            };
            let message = Object::new();
            put_at_name(&message, "task", &"ready".into());
            put_at_name(&message, "module", &self.part.compiled.borrow());
            worker.post_message(&message)?;
            self.worker.replace(Some(worker));
        }
        page.window()
            .set_timeout_with_callback_and_timeout_and_arguments_0(begin.unchecked_ref(), PAUSE)?;
        Ok(true)
    }

    /// Whether something was asked, and is not to be asked again.
    pub(super) fn is_asked(&self) -> bool {
        !self.asked.borrow().is_empty()
    }

    /// The input asked about last.
    pub(super) fn input(&self) -> JsValue {
        JSON::parse(&self.asked.borrow()).unwrap_or_default()
    }

    /// Lets what was asked last be asked again.
    pub(super) fn forget(&self) {
        self.asked.borrow_mut().clear();
    }

    /// Whether what was told last is not about what was asked last.
    pub(super) fn is_waiting(&self) -> bool {
        self.waiting.get() || self.busy.get() && !self.told.get()
    }

    /// Which asking it is; another number for every input asked about.
    pub(super) fn number(&self) -> u32 {
        self.id.get()
    }

    /// Whether it is being reckoned.
    pub(super) fn is_busy(&self) -> bool {
        self.busy.get()
    }

    /// Ends what is being reckoned or is about to be; what was told of it stays.
    pub(super) fn stop(&self) {
        self.id.set(self.id.get() + 1);
        self.waiting.set(false);
        if self.busy.replace(false)
            && let Some(worker) = self.worker.take()
        {
            worker.terminate();
        }
    }

    fn begin(&self, input: &JsValue) -> Result<(), Fault> {
        self.busy.set(true);
        self.told.set(false);
        let message = Object::new();
        put_at_name(&message, "id", &self.id.get().into());
        put_at_name(&message, "task", &self.name.into());
        put_at_name(&message, "input", input);
        put_at_name(&message, "attached", &self.attached.borrow());
        if let Some(worker) = &*self.worker.borrow() {
            worker.post_message(&message)?;
        }
        Ok(())
    }

    fn start(self: &Rc<Self>, build: &str) -> Result<Worker, Fault> {
        let options = WorkerOptions::new();
        options.set_type(WorkerType::Module);
        let script = format!("{}.js?v={build}", self.part.name);
        let worker = Worker::new_with_options(&script, &options)?;
        let task = Rc::downgrade(self);
        let hear = Closure::<dyn Fn(MessageEvent) -> Result<(), JsValue>>::new(
            move |event: MessageEvent| {
                let (Some(task), said) = (task.upgrade(), event.data()) else {
                    return Ok(());
                };
                let module = at_name(&said, "module");
                if module.is_object() {
                    task.part.compiled.replace(module);
                }
                if at_name(&said, "id").as_f64() != Some(f64::from(task.id.get())) {
                    return Ok(());
                }
                if at_name(&said, "done").is_truthy() {
                    task.busy.set(false);
                }
                if at_name(&said, "fault").is_truthy() {
                    // What is left of its memory is not to be trusted: the next asking starts another worker.
                    task.stop();
                }
                if at_name(&said, "missing").is_truthy() {
                    return task.miss();
                }
                task.told.set(true);
                (task.heard)(&said).map_err(JsValue::from)
            },
        );
        worker.set_onmessage(Some(hear.as_ref().unchecked_ref()));
        let task = Rc::downgrade(self);
        // The script was not there, or not whole: what it does later it tells itself.
        let failed = Closure::<dyn Fn() -> Result<(), JsValue>>::new(move || {
            task.upgrade().map_or(Ok(()), |task| task.miss())
        });
        worker.set_onerror(Some(failed.as_ref().unchecked_ref()));
        failed.forget();
        // Lives as long as its worker may tell anything.
        hear.forget();
        Ok(worker)
    }

    /// After the worker's script or module could not be had: the next asking starts another worker.
    fn miss(&self) -> Result<(), JsValue> {
        self.stop();
        // It may have been missing before anything was begun.
        if let Some(worker) = self.worker.take() {
            worker.terminate();
        }
        self.forget();
        self.waiting.set(true);
        let said = Object::new();
        put_at_name(&said, "missing", &true.into());
        (self.heard)(&said).map_err(JsValue::from)
    }
}
