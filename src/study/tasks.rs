//! Many independent runs on a few threads, their results in order.

use std::num::NonZeroUsize;
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};

use super::sweep::panic_text;

/// Does `act` for 0 up to `count` on `threads` threads and gives the results in this order, so that they do not depend
/// on the number of threads. When `stop` becomes true no further one is begun; those left out are none. A panic gives
/// its text.
pub fn in_order<R: Send>(
    count: usize,
    threads: NonZeroUsize,
    stop: &AtomicBool,
    act: &(dyn Fn(usize) -> R + Sync),
) -> Vec<Option<Result<R, String>>> {
    let next = AtomicUsize::new(0);
    let done = Mutex::new((0..count).map(|_| None).collect::<Vec<_>>());
    let work = || {
        while !stop.load(Ordering::Relaxed) {
            let place = next.fetch_add(1, Ordering::Relaxed);
            if place >= count {
                return;
            }
            let result = catch_unwind(AssertUnwindSafe(|| act(place))).map_err(|p| panic_text(p.as_ref()).to_owned());
            done.lock().unwrap_or_else(PoisonError::into_inner)[place] = Some(result);
        }
    };
    std::thread::scope(|scope| {
        let workers: Vec<_> = (0..threads.get().min(count)).map(|_| scope.spawn(work)).collect();
        workers.into_iter().for_each(|worker| worker.join().unwrap_or_else(|panic| resume_unwind(panic)));
    });
    done.into_inner().unwrap_or_else(PoisonError::into_inner)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn results_stand_in_order_on_any_number_of_threads_and_a_panic_gives_its_text() {
        for threads in [1, 2, 7] {
            let threads = NonZeroUsize::new(threads).unwrap();
            let act = |i: usize| {
                assert!(i != 3, "the third");
                i * i
            };
            let results = in_order(20, threads, &AtomicBool::new(false), &act);
            for (i, result) in results.into_iter().enumerate() {
                let wanted = if i == 3 { Err("the third".to_owned()) } else { Ok(i * i) };
                assert_eq!(result, Some(wanted));
            }
        }
    }

    #[test]
    fn after_a_stop_nothing_is_begun() {
        let stop = AtomicBool::new(false);
        let act = |i: usize| stop.store(i >= 4, Ordering::Relaxed);
        let results = in_order(9, NonZeroUsize::MIN, &stop, &act);
        assert_eq!(results.iter().filter(|r| r.is_some()).count(), 5);
        assert!(in_order(0, NonZeroUsize::MIN, &AtomicBool::new(false), &|_| ()).is_empty());
    }
}
