//! One browser with one page.

use std::io::{BufRead, BufReader};
use std::path::PathBuf;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use fantoccini::wd::WebDriverCompatibleCommand;
use fantoccini::{Client, ClientBuilder, Locator};
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::{Value, json};
use tempfile::TempDir;

use crate::path_of;

/// Width and height in CSS pixels.
pub type Size = (u32, u32);
/// The sizes at which every state is looked at.
pub const SIZES: [Size; 3] = [(360, 640), (1024, 768), (1920, 1080)];
/// A phone, turned.
pub const LOW: Size = (640, 360);
/// A desk.
pub const WIDE: Size = SIZES[1];

/// How long anything is waited for.
const PATIENCE: Duration = Duration::from_secs(20);

/// A page in a browser.
pub struct Browser {
    client: Client,
    pub size: Size,
    /// Where downloads go.
    pub downloads: PathBuf,
}

/// A request of the driver that the library has no function for.
#[derive(Debug)]
struct Raw {
    path: &'static str,
    body: Value,
}

impl WebDriverCompatibleCommand for Raw {
    fn endpoint(&self, base: &url::Url, session: Option<&str>) -> Result<url::Url, url::ParseError> {
        base.join(&format!("session/{}/{}", session.unwrap_or_default(), self.path))
    }

    fn method_and_body(&self, _: &url::Url) -> (http::Method, Option<String>) {
        (http::Method::POST, Some(self.body.to_string()))
    }
}

/// The driver; ends with its browser.
struct Driver(Child);

impl Driver {
    /// It takes a free port of IPv4, and ends where another program has the same port of IPv6.
    fn start() -> (Self, u16) {
        (0..5).find_map(|_| Self::try_start()).unwrap_or_else(|| panic!("chromedriver names no port"))
    }

    fn try_start() -> Option<(Self, u16)> {
        let mut driver = Command::new("chromedriver")
            .arg("--port=0")
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap_or_else(|why| panic!("chromedriver: {why}; install chromium and chromium-driver"));
        let lines = BufReader::new(driver.stdout.take().unwrap()).lines();
        let port = lines.map_while(Result::ok).find_map(|line| {
            let (_, port) = line.split_once("started successfully on port ")?;
            port.trim_end_matches('.').parse().ok()
        });
        let driver = Self(driver);
        port.map(|port| (driver, port))
    }
}

impl Drop for Driver {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

/// Opens the page at this size and runs the test. `before` is a script that runs before those of the page: a stand-in of
/// something that a browser under test has not.
pub async fn with<F, T>(size: Size, before: &str, test: T)
where
    T: FnOnce(std::sync::Arc<Browser>) -> F,
    F: Future<Output = ()> + Send + 'static,
{
    let began = Instant::now();
    let (_driver, port) = Driver::start();
    let downloads = TempDir::new().unwrap();
    let touch = size.0.min(size.1) < 500;
    let (width, height) = size;
    let mut options = json!({
        "args": ["--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", format!("--window-size={width},{height}"),
            "--autoplay-policy=no-user-gesture-required"],
        "prefs": { "download.default_directory": downloads.path() },
    });
    if touch {
        options["mobileEmulation"] =
            json!({ "deviceMetrics": { "width": width, "height": height, "pixelRatio": 1.0, "touch": true } });
    }
    let capabilities = json!({ "goog:chromeOptions": options });
    let client = ClientBuilder::new(HttpConnector::new())
        .capabilities(capabilities.as_object().unwrap().clone())
        .connect(&format!("http://127.0.0.1:{port}"))
        .await
        .unwrap();
    let browser = Browser { client: client.clone(), size, downloads: downloads.path().to_owned() };
    if !touch {
        let metrics = json!({ "width": width, "height": height, "deviceScaleFactor": 1, "mobile": false });
        browser.cdp("Emulation.setDeviceMetricsOverride", metrics).await;
    }
    browser.cdp("Page.addScriptToEvaluateOnNewDocument", json!({ "source": before })).await;
    let failed = {
        let browser = std::sync::Arc::new(browser);
        tokio::spawn(test(browser)).await.err()
    };
    let _ = client.close().await;
    let (name, (width, height)) = (std::thread::current().name().unwrap_or_default().to_owned(), size);
    println!("{:6.1} s at {width}x{height}: {name}", began.elapsed().as_secs_f64());
    if let Some(why) = failed {
        std::panic::resume_unwind(why.into_panic());
    }
}

impl Browser {
    /// Opens the page at a part of it, such as `fly`.
    pub async fn open(&self, part: &str) {
        self.open_file(&path_of("HANDBACK_PAGE"), &format!("#{part}")).await;
    }

    /// Opens a page in a file; `part` is nothing or begins with `#`.
    pub async fn open_file(&self, page: &std::path::Path, part: &str) {
        self.client.goto(&format!("file://{}{part}", page.display())).await.unwrap();
        self.until("the page is ready", "return document.body.dataset.ready === 'true'").await;
    }

    /// The value of a script.
    pub async fn js(&self, script: &str) -> Value {
        self.client.execute(script, vec![]).await.unwrap_or_else(|why| panic!("{script}: {why}"))
    }

    /// The value of a script that is given a value.
    pub async fn js_with(&self, script: &str, value: Value) -> Value {
        self.client.execute(script, vec![value]).await.unwrap_or_else(|why| panic!("{script}: {why}"))
    }

    /// The value that a script hands to its last argument, whenever it does.
    pub async fn js_later(&self, script: &str) -> Value {
        self.client.execute_async(script, vec![]).await.unwrap_or_else(|why| panic!("{script}: {why}"))
    }

    /// Waits until the script gives true.
    pub async fn until(&self, what: &str, script: &str) {
        let began = Instant::now();
        while self.js(script).await != Value::Bool(true) {
            if began.elapsed() > PATIENCE {
                let shown = self.js("return document.body.innerText.slice(0, 1500)").await;
                panic!("waited in vain until {what}; the page shows: {}", shown.as_str().unwrap_or_default());
            }
            tokio::time::sleep(Duration::from_millis(15)).await;
        }
    }

    /// Waits until this element shows this text.
    pub async fn until_shown(&self, id: &str, text: &str) {
        let script = format!("return document.getElementById({id:?}).textContent.includes({text:?})");
        self.until(&format!("#{id} shows \"{text}\""), &script).await;
    }

    /// What an element shows.
    pub async fn text(&self, id: &str) -> String {
        let script = format!("return document.getElementById({id:?}).textContent");
        self.js(&script).await.as_str().unwrap_or_default().to_owned()
    }

    /// Clicks the element with the pointer, where a person would.
    pub async fn click(&self, id: &str) {
        // The driver would scroll it to the top of the column, under the last events.
        let seen = "const it = document.getElementById(arguments[0]); if (it?.closest('aside')) it.scrollIntoView({ block: 'nearest' })";
        self.js_with(seen, json!(id)).await;
        self.client.find(Locator::Id(id)).await.unwrap().click().await.unwrap_or_else(|why| panic!("#{id}: {why}"));
    }

    /// Clicks the button with this text.
    pub async fn click_words(&self, words: &str) {
        let path = format!("//button[normalize-space()={words:?}]");
        self.client
            .find(Locator::XPath(&path))
            .await
            .unwrap()
            .click()
            .await
            .unwrap_or_else(|why| panic!("{words}: {why}"));
    }

    /// Chooses an option.
    pub async fn choose(&self, id: &str, value: &str) {
        let choice = self.client.find(Locator::Id(id)).await.unwrap();
        choice.select_by_value(value).await.unwrap();
    }

    /// Writes into a field, in place of what was there, and leaves it.
    pub async fn write(&self, id: &str, text: &str) {
        let field = self.client.find(Locator::Id(id)).await.unwrap();
        field.clear().await.unwrap();
        field.send_keys(&format!("{text}\t")).await.unwrap();
    }

    /// Lets frames of the lesson pass as fast as they can, until the script gives true of `state`, at most so many.
    pub async fn forward(&self, most: u32, script: &str) -> bool {
        let script = format!(
            "const {{ flight }} = app.fly;
            for (let frame = 0; frame < {most} && flight.goes; frame += 1) {{
                flight.step();
                const {{ state }} = flight;
                if ({script}) return true;
            }}
            return false"
        );
        self.js(&script).await == Value::Bool(true)
    }

    /// Emulates a feature of the medium, such as `prefers-reduced-motion`.
    pub async fn media(&self, name: &str, value: &str) {
        let features = json!({ "features": [{ "name": name, "value": value }] });
        self.cdp("Emulation.setEmulatedMedia", features).await;
    }

    /// Actions of input devices, in the words of the WebDriver standard.
    pub async fn act(&self, sources: Value) {
        self.raw("actions", json!({ "actions": sources })).await;
    }

    /// A key goes down, stays for a time, and comes up.
    pub async fn key(&self, key: &str, ms: u64) {
        let actions = json!([{ "type": "keyDown", "value": key }, { "type": "pause", "duration": ms }, { "type": "keyUp", "value": key }]);
        self.act(json!([{ "type": "key", "id": "keys", "actions": actions }])).await;
    }

    /// A command of the browser's own protocol.
    pub async fn cdp(&self, command: &str, params: Value) -> Value {
        self.raw("goog/cdp/execute", json!({ "cmd": command, "params": params })).await
    }

    async fn raw(&self, path: &'static str, body: Value) -> Value {
        self.client.issue_cmd(Raw { path, body }).await.unwrap_or_else(|why| panic!("{path}: {why}"))
    }

    /// The middle of an element.
    pub async fn middle(&self, id: &str) -> (f64, f64) {
        let script = format!(
            "const b = document.getElementById({id:?}).getBoundingClientRect(); return [b.x + b.width / 2, b.y + b.height / 2]"
        );
        let at = self.js(&script).await;
        (at[0].as_f64().unwrap(), at[1].as_f64().unwrap())
    }

    /// Keeps a picture of what is seen, if a folder is named.
    pub async fn shot(&self, state: &str) {
        let Some(folder) = std::env::var_os("HANDBACK_SHOTS") else { return };
        let (width, height) = self.size;
        let name = PathBuf::from(folder).join(format!("{width}x{height}-{state}.png"));
        self.picture(&name).await;
    }

    /// Writes a picture of what is seen.
    pub async fn picture(&self, file: &std::path::Path) {
        std::fs::write(file, self.client.screenshot().await.unwrap()).unwrap();
    }

    /// Errors that the browser saw since the page was opened.
    pub async fn errors(&self) -> Value {
        self.js("return globalThis.seenErrors ?? []").await
    }
}
