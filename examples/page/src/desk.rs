//! The desk: takes a request, and gives the answer or `{"error":"..."}`.

use serde::{Deserialize, Serialize};

use crate::fly::{Begin, Fly, Nothing, Reaction, Set, Step};

/// Everything that a page can ask for.
#[derive(Debug, Deserialize)]
#[serde(rename_all = "snake_case")]
enum Request {
    Fly(Begin),
    Step(Step),
    Settings(Nothing),
    Set(Set),
    Save(Nothing),
    Cost(Reaction),
}

/// A request that is refused.
#[derive(Debug, Serialize)]
struct Refusal {
    error: String,
}

/// What a page talks to.
#[derive(Default)]
pub struct Desk {
    fly: Fly,
}

impl Desk {
    /// The answer to a request, both in JSON.
    ///
    /// ```
    /// let mut desk = page::desk::Desk::default();
    /// let answer = desk.ask(r#"{"fly":{"craft":"helicopter","seed":1,"student":"beginner","policy":null}}"#);
    /// assert!(answer.starts_with(r#"{"axes":[{"name":"roll","sprung":true,"#), "{answer}");
    /// let refused = desk.ask(r#"{"cost":{"reaction_ms":-1}}"#);
    /// assert_eq!(refused, r#"{"error":"cost: a reaction of -1 ms; give 0 to 60000 ms"}"#);
    /// ```
    pub fn ask(&mut self, json: &str) -> String {
        let fly = &mut self.fly;
        match serde_json::from_str(json) {
            Ok(Request::Fly(begin)) => told(fly.begin(begin)),
            Ok(Request::Step(step)) => told(fly.step(step)),
            Ok(Request::Settings(Nothing {})) => told(fly.settings()),
            Ok(Request::Set(set)) => told(fly.set(&set)),
            Ok(Request::Save(Nothing {})) => told(fly.save()),
            Ok(Request::Cost(reaction)) => told(fly.cost(&reaction)),
            Err(why) => told(Err::<(), _>(format!("the request: {why}"))),
        }
    }
}

/// The answer as text.
fn told(answer: Result<impl Serialize, String>) -> String {
    let text = match answer {
        Ok(answer) => serde_json::to_string(&answer),
        Err(error) => serde_json::to_string(&Refusal { error }),
    };
    text.unwrap_or_else(|_| r#"{"error":"the answer: it cannot be written as JSON"}"#.to_owned())
}
