// Takes the token from behind the # of the address, which no server and no log has
// seen, and changes it for a cookie that no script can read.
const told = document.getElementById("told");
const token = location.hash.slice(1);
history.replaceState(null, "", "/enter");
fetch("/api/enter", {
	method: "POST",
	headers: { "Content-Type": "application/json" },
	body: JSON.stringify({ token }),
}).then((answer) => {
	if (answer.ok) {
		location.replace("/");
		return;
	}
	told.textContent = "This address does not open the workbench. Use the whole address that \"brushfall open\" printed last.";
}, () => {
	told.textContent = "The workbench does not answer. Is it still running?";
});
