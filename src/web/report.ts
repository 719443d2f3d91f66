/** What runs inside a report: nothing yet is started from here but what the page's own parts need. */
export {};
