//! Files that are dropped on the page.

use std::fmt::Write;

use serde_json::{Value, json};

use crate::Browser;

/// The first line of a trace of two axes.
pub const HEADER: &str = "time_us,lesson_switch,instructor_now,i:roll,i:throttle,s:roll,s:throttle";

/// A trace in which the student flies, and the instructor takes over every 20 seconds: 50 rows a second.
pub fn trace(rows: usize) -> String {
    let mut text = format!("{HEADER}\n");
    for row in 0..rows {
        let (time_us, switch) = (row * 20_000, u8::from(row > 100));
        let roll = if row % 1000 > 950 { 30 } else { 0 };
        writeln!(text, "{time_us},{switch},0,{roll},-20,{},-20", row % 41).unwrap();
    }
    text
}

/// Drops files on the page: names and bytes.
pub async fn drop_files(browser: &Browser, files: &[(&str, &[u8])]) {
    let files: Vec<Value> = files.iter().map(|(name, bytes)| json!([name, bytes])).collect();
    let script = "
        const transfer = new DataTransfer();
        for (const [name, bytes] of arguments[0]) transfer.items.add(new File([new Uint8Array(bytes)], name));
        document.getElementById('drop').dispatchEvent(new DragEvent('drop', { dataTransfer: transfer, bubbles: true, cancelable: true }));";
    browser.js_with(script, Value::from(files)).await;
}
