//! `WebDriver` `BiDi` (W3C): commands and events through one socket.

use crate::{Result, Trouble};
use futures_util::{SinkExt, StreamExt};
use serde_json::{Value, json};
use std::collections::HashMap;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use tokio::sync::{mpsc, oneshot};
use tokio_tungstenite::connect_async;
use tokio_tungstenite::tungstenite::Message;

/// The commands that wait for their answers.
type Waiting = Arc<Mutex<HashMap<u64, oneshot::Sender<Value>>>>;

/// A connection with a browser.
pub struct BiDi {
    commands: mpsc::UnboundedSender<Message>,
    waiting: Waiting,
    sent: AtomicU64,
}

impl BiDi {
    /// Connects with a browser, whose events are handed to this function, in their order and before the answer to any
    /// command that was answered later.
    pub async fn connect(
        socket: &str,
        mut hear: impl FnMut(&str, &Value) + Send + 'static,
    ) -> Result<Self> {
        let (stream, _) = connect_async(socket).await?;
        let (mut out, mut into) = stream.split();
        let (commands, mut to_send) = mpsc::unbounded_channel();
        let waiting = Waiting::default();
        tokio::spawn(async move {
            while let Some(command) = to_send.recv().await {
                if out.send(command).await.is_err() {
                    break;
                }
            }
        });
        let answered = Arc::clone(&waiting);
        tokio::spawn(async move {
            while let Some(Ok(message)) = into.next().await {
                let Message::Text(text) = message else {
                    continue;
                };
                let Ok(message) = serde_json::from_str::<Value>(&text) else {
                    break;
                };
                if let Some(id) = message["id"].as_u64() {
                    let asker = lock(&answered).remove(&id);
                    // Whoever asked may have given up.
                    asker.map(|asker| asker.send(message));
                } else if let Some(event) = message["method"].as_str() {
                    hear(event, &message["params"]);
                }
            }
            // Nobody is left who would answer.
            lock(&answered).clear();
        });
        Ok(Self {
            commands,
            waiting,
            sent: AtomicU64::new(0),
        })
    }

    /// Sends a command and waits until it is done.
    pub async fn send(&self, method: &str, parameters: &Value) -> Result<()> {
        let id = self.sent.fetch_add(1, Ordering::Relaxed);
        let (asker, answer) = oneshot::channel();
        lock(&self.waiting).insert(id, asker);
        let command = json!({ "id": id, "method": method, "params": parameters }).to_string();
        let lost = || Trouble::new(format!("Firefox was gone before it answered {method}."));
        self.commands
            .send(Message::Text(command.into()))
            .map_err(|_| lost())?;
        let answer = answer.await.map_err(|_| lost())?;
        if answer["type"] == "error" {
            return Err(Trouble::new(format!(
                "Firefox does not do {method}: {}",
                answer["message"]
            )));
        }
        Ok(())
    }
}

fn lock<T>(waiting: &Mutex<T>) -> std::sync::MutexGuard<'_, T> {
    waiting.lock().unwrap_or_else(PoisonError::into_inner)
}
