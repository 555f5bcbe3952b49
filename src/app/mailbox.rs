//! A place for one message: a newer one replaces an older one that nobody has taken yet.

use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};

/// One message at most, with somebody waiting for it.
#[derive(Debug)]
pub struct Mailbox<T> {
    inner: Arc<Inner<T>>,
}

#[derive(Debug)]
struct Inner<T> {
    state: Mutex<State<T>>,
    arrived: Condvar,
}

#[derive(Debug)]
struct State<T> {
    message: Option<T>,
    closed: bool,
}

impl<T> Clone for Mailbox<T> {
    fn clone(&self) -> Mailbox<T> {
        Mailbox { inner: self.inner.clone() }
    }
}

impl<T> Default for Mailbox<T> {
    fn default() -> Mailbox<T> {
        let state = Mutex::new(State { message: None, closed: false });
        Mailbox { inner: Arc::new(Inner { state, arrived: Condvar::new() }) }
    }
}

impl<T> Mailbox<T> {
    fn lock(&self) -> MutexGuard<'_, State<T>> {
        // A message is put in and taken out whole, so a panic elsewhere leaves nothing half-done.
        self.inner.state.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Puts a message in and hands back the one that nobody took.
    pub fn put(&self, message: T) -> Option<T> {
        let old = self.lock().message.replace(message);
        self.inner.arrived.notify_one();
        old
    }

    /// The message, if there is one.
    pub fn take(&self) -> Option<T> {
        self.lock().message.take()
    }

    /// Waits for a message; none once the box is closed.
    pub fn wait(&self) -> Option<T> {
        let mut state = self.lock();
        loop {
            if state.closed {
                return None;
            }
            if let Some(message) = state.message.take() {
                return Some(message);
            }
            state = self.inner.arrived.wait(state).unwrap_or_else(PoisonError::into_inner);
        }
    }

    /// Closes the box: whoever waits gets none.
    pub fn close(&self) {
        self.lock().closed = true;
        self.inner.arrived.notify_all();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_latest_message_wins_and_closing_wakes() {
        let mailbox = Mailbox::default();
        assert_eq!(mailbox.put(1), None);
        assert_eq!(mailbox.put(2), Some(1));
        assert_eq!(mailbox.wait(), Some(2));
        assert_eq!(mailbox.take(), None);
        let other = mailbox.clone();
        let waiting = std::thread::spawn(move || other.wait());
        mailbox.close();
        assert_eq!(waiting.join().expect("no panic"), None);
    }
}
