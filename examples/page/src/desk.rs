//! The desk: a request in JSON, a reply in JSON.

use serde::{Deserialize, Serialize};

use crate::fly::{Begin, Fly, Nothing, Reaction, Set, Step};
use crate::looking::{Looking, Named, Stretch};

/// What the page asks, the name of the request as the only key: `{"look":{"name":"trace.csv"}}`.
#[derive(Debug, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Request {
    /// Begins a lesson under a person's hands.
    Fly(Begin),
    /// Flies it on by one frame.
    Step(Step),
    /// The settings of its policy.
    Settings(Nothing),
    /// Changes one of them.
    Set(Set),
    /// Its recording so far.
    Save(Nothing),
    /// What a delay costs, in metres.
    Cost(Reaction),
    /// The kept file becomes the policy of the looks to come; `null` forgets it.
    PolicyFile(Option<Named>),
    /// Looks at the kept file.
    Look(Named),
    /// Goes on with the look.
    GoOn { rows: usize },
    /// The lesson of the last look, to look back at.
    Lesson(Nothing),
    /// Sticks and output of a stretch of it.
    Curves(Stretch),
}

/// Why a request was refused.
#[derive(Debug, Serialize)]
pub struct Refusal {
    /// Place, value and remedy, as the command line says it.
    pub error: String,
}

impl<E: std::fmt::Display> From<E> for Refusal {
    fn from(why: E) -> Self {
        Self { error: why.to_string() }
    }
}

/// Takes requests, and remembers what they began.
#[derive(Default)]
pub struct Desk {
    fly: Fly,
    looking: Looking,
}

impl Desk {
    /// A file came.
    pub fn keep(&mut self, bytes: Vec<u8>) {
        self.looking.keep(bytes);
    }

    /// Answers a request: a reply of its own, or a [`Refusal`].
    ///
    /// ```
    /// let mut desk = page::desk::Desk::default();
    /// desk.keep(b"[[axis]]\nname = \"aileron\"\nkind = \"sprung\"\n".to_vec());
    /// let answer = desk.ask(r#"{"fly":{"craft":"helicopter","seed":1,"student":"beginner","policy":null}}"#);
    /// assert!(answer.starts_with(r#"{"axes":[{"name":"roll","sprung":true,"#), "{answer}");
    /// assert_eq!(desk.ask(r#"{"look":{"name":"mine.toml"}}"#), r#"{"kind":"policy"}"#);
    /// assert!(desk.ask(r#"{"lesson":{}}"#).starts_with(r#"{"error":"no lesson is there to look back at"#));
    /// ```
    pub fn ask(&mut self, json: &str) -> String {
        match serde_json::from_str(json) {
            Ok(request) => self.reply(request).unwrap_or_else(|why| said(&why)),
            Err(why) => said(&Refusal::from(format!("the request: {why}"))),
        }
    }

    fn reply(&mut self, request: Request) -> Result<String, Refusal> {
        Ok(match request {
            Request::Fly(begin) => said(&self.fly.begin(begin)?),
            Request::Step(step) => said(&self.fly.step(step)?),
            Request::Settings(Nothing {}) => said(&self.fly.settings()?),
            Request::Set(set) => said(&self.fly.set(&set)?),
            Request::Save(Nothing {}) => said(&self.fly.save()?),
            Request::Cost(reaction) => said(&self.fly.cost(&reaction)?),
            Request::PolicyFile(file) => said(&self.looking.policy_file(file)?),
            Request::Look(file) => said(&self.looking.look(&file)?),
            Request::GoOn { rows } => said(&self.looking.go_on(rows)?),
            Request::Lesson(Nothing {}) => said(&self.looking.lesson()?),
            Request::Curves(stretch) => said(&self.looking.curves(&stretch)?),
        })
    }
}

fn said(reply: &impl Serialize) -> String {
    serde_json::to_string(reply).unwrap_or_else(|why| format!(r#"{{"error":"no reply: {why}"}}"#))
}
