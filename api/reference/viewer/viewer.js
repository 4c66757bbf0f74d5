// Nothing is asked of elsewhere: no validator's badge, no address but this server's.
window.addEventListener("DOMContentLoaded", () => {
  window.ui = SwaggerUIBundle({
    url: "/openapi.json",
    dom_id: "#interface",
    deepLinking: true,
    docExpansion: "list",
    defaultModelsExpandDepth: 0,
    defaultModelExpandDepth: 2,
    validatorUrl: null,
  });
});
